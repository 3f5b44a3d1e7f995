namespace PatternCompiler.Passes.Fill;

/// <summary>One line of an area before points are placed on it: an interval of even dose.</summary>
/// <param name="V">Position across the lines, in femtometres.</param>
/// <param name="Start">Start of the interval along the line.</param>
/// <param name="End">End of the interval.</param>
/// <param name="Charge">Charge in zeptocoulombs.</param>
internal readonly record struct RowCut(long V, double Start, double End, double Charge);
