namespace PatternCompiler.FrontEnds.Image;

/// <summary>Neighbouring pixels of one level in a row, and the row where such a run began.</summary>
/// <param name="Start">First column.</param>
/// <param name="End">Column after the last.</param>
/// <param name="Level">Dose level, 1 or more.</param>
/// <param name="TopRow">First row, counted from the top, in which this very run stands.</param>
internal readonly record struct PixelRun(int Start, int End, byte Level, int TopRow);
