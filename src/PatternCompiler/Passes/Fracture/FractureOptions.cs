using PatternCompiler.Limits;

namespace PatternCompiler.Passes.Fracture;

/// <summary>What the fracture pass reads.</summary>
internal sealed record FractureOptions
{
    /// <summary>How overlaps of different dose factors within a layer are resolved.</summary>
    public DoseOverlapRule DoseOverlap { get; init; } = DoseOverlapRule.Highest;

    /// <summary>Direction of the parallel sides.</summary>
    public FractureDirection Direction { get; init; } = FractureDirection.Horizontal;

    /// <summary>
    /// Largest height and width of a figure; larger ones are divided evenly, so that no narrow rest is left over. 0 for no
    /// limit.
    /// </summary>
    public double LargestFigureNanometres { get; init; }

    /// <summary>
    /// A figure whose height or mean width is below this is a sliver: avoided where a cut can be moved or where the direction
    /// is automatic, and reported. 0 to look for none.
    /// </summary>
    public double SliverNanometres { get; init; }

    /// <summary>
    /// Points of over-sampled curves that lie within this distance of the edge that takes their place are left out. 0
    /// leaves every point in.
    /// </summary>
    public double SmoothingNanometres { get; init; }

    /// <summary>Limits on crossings and figures.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;
}

/// <summary>Which dose a place receives that areas of different dose factors cover on one layer.</summary>
public enum DoseOverlapRule
{
    /// <summary>The highest of them.</summary>
    Highest,

    /// <summary>The lowest of them.</summary>
    Lowest,

    /// <summary>The one that the drawing uses first on the layer.</summary>
    First,

    /// <summary>Their sum: every area is written in full.</summary>
    Sum,
}

/// <summary>Direction of the parallel sides of trapezoids.</summary>
public enum FractureDirection
{
    /// <summary>Parallel sides run along x.</summary>
    Horizontal,

    /// <summary>Parallel sides run along y.</summary>
    Vertical,

    /// <summary>
    /// For each connected part of an area the direction that makes fewer slivers, then fewer figures; horizontal when both
    /// are equal.
    /// </summary>
    Automatic,
}
