using PatternCompiler.Limits;

namespace PatternCompiler.FrontEnds.Common;

/// <summary>
/// How many placements of arrays a drawing may write out one by one, all arrays together: a few lines of a file made to do
/// harm would otherwise fill the memory.
/// </summary>
internal sealed class PlacementBudget(WorkLimits limits)
{
    // A placement takes about the memory of two statements of a text layout.
    private const int Weight = 2;

    private long used;

    /// <summary>Most placements that are written out one by one.</summary>
    public long Most => limits[WorkKind.Expansion] / Weight;

    /// <summary>Takes what an array needs; false if that is more than is left.</summary>
    public bool TryTake(in ArraySteps steps)
    {
        used += steps.WrittenOut;
        return used <= Most;
    }

    /// <summary>What is wrong with an array that is not left room for.</summary>
    public string Fault(int columns, int rows) =>
        $"an array of {columns} × {rows} has a spacing that is not a whole number of grid steps, and more than {Most} placements would have to be written out";
}
