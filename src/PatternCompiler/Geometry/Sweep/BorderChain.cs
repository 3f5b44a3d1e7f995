namespace PatternCompiler.Geometry.Sweep;

/// <summary>A stretch of border that enters a band at one of its ends and leaves it again.</summary>
/// <param name="Start">Its first point in <see cref="BandOutlines.ChainPoints"/>.</param>
/// <param name="Length">Number of its points.</param>
/// <param name="LeavesUp">Whether it leaves into the band above.</param>
/// <param name="Exit">Which of the border edges between the two bands it leaves along, from left to right.</param>
internal readonly record struct BorderChain(int Start, int Length, bool LeavesUp, int Exit);
