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
