namespace PatternCompiler.FrontEnds;

/// <summary>
/// How many placements of arrays a drawing may write out one by one, all arrays together: a few lines of a file made to do
/// harm would otherwise fill the memory.
/// </summary>
internal sealed class PlacementBudget
{
    /// <summary>Most placements that are written out one by one.</summary>
    public const int Most = 1_000_000;

    private long used;

    /// <summary>Takes what an array needs; false if that is more than is left.</summary>
    public bool TryTake(in ArraySteps steps)
    {
        used += steps.WrittenOut;
        return used <= Most;
    }
}
