namespace PatternCompiler.Measure.Edges;

/// <summary>What was found in a strip.</summary>
/// <param name="Strip">The strip.</param>
/// <param name="OffsetNanometres">How far the printed edge lies outside the drawn one; not a number if there is none.</param>
/// <param name="StandardErrorNanometres">Standard error of that by the picture's noise.</param>
/// <param name="Base">Grey outside.</param>
/// <param name="Strength">Contrast of the edge, as a part of the usual one.</param>
/// <param name="SquaresPerPixel">Variance of a pixel's grey by what the fit leaves.</param>
internal readonly record struct MeasuredEdge(
    EdgeStrip Strip, double OffsetNanometres, double StandardErrorNanometres, double Base, double Strength, double SquaresPerPixel)
{
    /// <summary>True if there is an edge.</summary>
    public bool IsFound => !double.IsNaN(OffsetNanometres);
}
