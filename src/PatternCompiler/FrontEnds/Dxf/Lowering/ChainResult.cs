using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>What became of loose pieces.</summary>
internal sealed class ChainResult
{
    /// <summary>Closed outlines; the first point is not repeated.</summary>
    public List<(GridPoint[] Points, EntityOrigin Origin)> Closed { get; } = [];

    /// <summary>Chains that stay open.</summary>
    public List<OpenChain> Open { get; } = [];

    /// <summary>Loose ends that nearly meet.</summary>
    public List<NearMiss> NearMisses { get; } = [];

    /// <summary>Points where an odd number of ends, three or more, meet.</summary>
    public List<(GridPoint Point, EntityOrigin Origin)> Branches { get; } = [];

    /// <summary>Pieces without length or drawn twice.</summary>
    public int RedundantCount { get; private set; }

    /// <summary>The first of them.</summary>
    public EntityOrigin FirstRedundant { get; private set; }

    /// <summary>Gaps that were closed.</summary>
    public int GapCount { get; private set; }

    /// <summary>Width of the largest gap closed, in grid steps.</summary>
    public double LargestGap { get; private set; }

    /// <summary>Where the largest gap is.</summary>
    public GridPoint LargestGapAt { get; private set; }

    /// <summary>Entity at the largest gap.</summary>
    public EntityOrigin LargestGapOrigin { get; private set; }

    /// <summary>Counts a piece left out.</summary>
    public void CountRedundant(in EntityOrigin origin)
    {
        if (RedundantCount++ == 0)
        {
            FirstRedundant = origin;
        }
    }

    /// <summary>Counts a gap closed.</summary>
    public void CountGap(GridPoint from, GridPoint to, in EntityOrigin origin)
    {
        GapCount++;
        double width = Math.Sqrt(ChainNodes.SquaredDistance(from, to));
        if (width > LargestGap)
        {
            (LargestGap, LargestGapAt, LargestGapOrigin) = (width, from, origin);
        }
    }

    /// <summary>Notes a branch.</summary>
    public void AddBranch(GridPoint point, in EntityOrigin origin) => Branches.Add((point, origin));
}

/// <summary>Two loose ends that lie close together but were not joined.</summary>
internal readonly record struct NearMiss(GridPoint First, EntityOrigin FirstOrigin, GridPoint Second, EntityOrigin SecondOrigin)
{
    /// <summary>Distance of the two ends in grid steps.</summary>
    public double Distance => Math.Sqrt(ChainNodes.SquaredDistance(First, Second));
}

/// <summary>Pieces joined end to end that do not close.</summary>
/// <param name="Points">All points.</param>
/// <param name="Start">Entity at the first point.</param>
/// <param name="End">Entity at the last point.</param>
internal sealed record OpenChain(GridPoint[] Points, EntityOrigin Start, EntityOrigin End);
