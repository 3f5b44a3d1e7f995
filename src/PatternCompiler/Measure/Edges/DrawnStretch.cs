namespace PatternCompiler.Measure.Edges;

/// <summary>Outline from corner to corner.</summary>
/// <param name="Ring">Outline that it is part of.</param>
/// <param name="LengthNanometres">Its length.</param>
/// <param name="IsClosed">A whole outline without corners.</param>
/// <param name="IsStraight">It is one straight line.</param>
/// <param name="LargestCurvature">Largest angle that it turns by in a nanometre.</param>
internal readonly record struct DrawnStretch(int Ring, double LengthNanometres, bool IsClosed, bool IsStraight, double LargestCurvature);
