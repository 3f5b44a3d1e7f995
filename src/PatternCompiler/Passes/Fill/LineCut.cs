namespace PatternCompiler.Passes.Fill;

/// <summary>One line of an area: evenly spaced points and the charge of all of them.</summary>
/// <param name="V">Position across the lines, in femtometres.</param>
/// <param name="First">First point along the line.</param>
/// <param name="Last">Last point along the line; not below the first.</param>
/// <param name="Points">Number of points, 1 or more.</param>
/// <param name="Charge">Charge in zeptocoulombs.</param>
internal readonly record struct LineCut(long V, long First, long Last, int Points, long Charge);
