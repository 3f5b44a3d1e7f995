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
