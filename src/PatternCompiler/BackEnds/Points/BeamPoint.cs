namespace PatternCompiler.BackEnds.Points;

/// <summary>The outputs hold still for a while.</summary>
/// <param name="X">Code of the X output in natural order.</param>
/// <param name="Y">Code of the Y output in natural order.</param>
/// <param name="Ticks">For how many clock ticks.</param>
/// <param name="IsOn">The beam is on.</param>
internal readonly record struct BeamPoint(int X, int Y, long Ticks, bool IsOn);
