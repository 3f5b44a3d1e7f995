namespace PatternCompiler.Measure.Edges;

/// <summary>What lies across from a place on an edge.</summary>
/// <param name="Distance">How far.</param>
/// <param name="Stretch">Stretch of outline.</param>
/// <param name="AlongNanometres">Way along that stretch.</param>
/// <param name="IsParallel">The two edges are parallel.</param>
internal readonly record struct FacingEdge(double Distance, int Stretch, double AlongNanometres, bool IsParallel);
