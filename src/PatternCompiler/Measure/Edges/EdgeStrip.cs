namespace PatternCompiler.Measure.Edges;

/// <summary>A strip of the sample across a drawn edge, in which the printed edge is looked for.</summary>
/// <param name="X">Its middle, on the drawn edge, in nanometres.</param>
/// <param name="Y">Its middle.</param>
/// <param name="OutX">Direction out of the drawn area, of length 1.</param>
/// <param name="OutY">Direction out of the drawn area.</param>
/// <param name="LengthNanometres">Length along the edge.</param>
/// <param name="Stretch">Stretch of outline.</param>
/// <param name="AlongNanometres">Way along that stretch.</param>
/// <param name="Inside">Edge that lies across the drawn area; null if none is near.</param>
/// <param name="Outside">Edge that lies across what is not drawn.</param>
internal readonly record struct EdgeStrip(
    double X,
    double Y,
    double OutX,
    double OutY,
    double LengthNanometres,
    int Stretch,
    double AlongNanometres,
    FacingEdge? Inside,
    FacingEdge? Outside);
