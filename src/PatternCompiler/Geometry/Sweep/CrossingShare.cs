using PatternCompiler.Limits;

namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Counts the crossings of one row after another, and what costs as much, and tells the meter what is beyond the share of the
/// row's edges. Every edge has its share in the one row in which it begins, so that the sum over all rows is the same
/// whichever thread takes which.
/// </summary>
internal sealed class CrossingShare(InputEdge[] edges, WorkMeter meter)
{
    // Crossings beyond the share, below zero as long as there is some left, and how many the meter knows of.
    private long beyond;
    private long metered;

    /// <summary>Whether all rows together have more than is allowed.</summary>
    public bool IsExceeded => meter.IsExceeded;

    /// <summary>Begins a row.</summary>
    public void Begin(int firstY, int lastY, ReadOnlySpan<int> rowEdges)
    {
        long starting = 0;
        foreach (int edge in rowEdges)
        {
            starting += edges[edge].LowerY >= firstY && edges[edge].LowerY <= lastY ? 1 : 0;
        }

        beyond = -WorkKind.Crossings.PerItem * starting;
        metered = 0;
    }

    /// <summary>Counts work in crossings; false if it is more than is allowed.</summary>
    public bool TryCount(long crossings)
    {
        beyond += crossings;
        if (beyond <= metered)
        {
            return true;
        }

        long more = beyond - metered;
        metered = beyond;
        return meter.TryAdd(more);
    }
}
