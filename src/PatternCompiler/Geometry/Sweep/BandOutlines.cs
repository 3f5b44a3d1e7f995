namespace PatternCompiler.Geometry.Sweep;

/// <summary>The border within one band: rings that lie in it whole and chains that belong to rings of several bands.</summary>
/// <param name="Rings">Rings that lie in the band.</param>
/// <param name="FromBelow">Chains by the border edge along which they enter from below; empty where one leaves.</param>
/// <param name="FromAbove">Chains by the border edge along which they enter from above; empty where one leaves.</param>
/// <param name="ChainPoints">Points of all chains.</param>
/// <param name="Junctions">Number of junctions in the band.</param>
internal sealed record BandOutlines(
    RingList Rings,
    BorderChain?[] FromBelow,
    BorderChain?[] FromAbove,
    PathPoint[] ChainPoints,
    int Junctions);

/// <summary>A stretch of border that enters a band at one of its ends and leaves it again.</summary>
/// <param name="Start">Its first point in <see cref="BandOutlines.ChainPoints"/>.</param>
/// <param name="Length">Number of its points.</param>
/// <param name="LeavesUp">Whether it leaves into the band above.</param>
/// <param name="Exit">Which of the border edges between the two bands it leaves along, from left to right.</param>
internal readonly record struct BorderChain(int Start, int Length, bool LeavesUp, int Exit);
