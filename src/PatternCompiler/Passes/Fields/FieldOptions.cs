using PatternCompiler.Limits;

namespace PatternCompiler.Passes.Fields;

/// <summary>How a pattern is divided into write fields.</summary>
/// <param name="WidthNanometres">Width of the part of the deflection field that is used.</param>
/// <param name="HeightNanometres">Its height.</param>
/// <param name="MarginNanometres">What neighbouring fields have in common at least: what is no larger is always written whole.</param>
public sealed record FieldOptions(double WidthNanometres, double HeightNanometres, double MarginNanometres)
{
    /// <summary>What happens at seams.</summary>
    public SeamKind Seam { get; init; }

    /// <summary>Width of the strip that both fields write, for overlapping and tapered seams.</summary>
    public double SeamWidthNanometres { get; init; }

    /// <summary>Number of dose steps of a taper.</summary>
    public int TaperSteps { get; init; } = 8;

    /// <summary>Order of the stage's visits.</summary>
    public StageOrder Order { get; init; }

    /// <summary>Centre of the lower left field, or null to centre the fields on the pattern.</summary>
    public (double X, double Y)? FirstCentreNanometres { get; init; }

    /// <summary>Field centres are whole multiples of this, 0 for any place on the grid.</summary>
    public double StageStepNanometres { get; init; }

    /// <summary>How many fields are allowed.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;

    /// <summary>Marks of every field, or null.</summary>
    public FieldMarks? Marks { get; init; }
}

/// <summary>What happens where a figure goes on from one write field to the next.</summary>
public enum SeamKind
{
    /// <summary>The parts meet edge to edge.</summary>
    Butt,

    /// <summary>A strip about the seam is written in both fields at the full dose, so that a gap cannot open.</summary>
    Overlap,

    /// <summary>
    /// A strip about the seam is written in both fields, with doses that rise in one as they fall in the other and add up
    /// to the full dose everywhere.
    /// </summary>
    Taper,
}

/// <summary>The order in which the stage visits write fields.</summary>
public enum StageOrder
{
    /// <summary>Row by row from below, every other row backwards.</summary>
    Serpentine,

    /// <summary>Row by row from below, each from the left: within a row all moves have one sense.</summary>
    Rows,

    /// <summary>The shortest way that a search finds, starting at the lower left.</summary>
    Shortest,

    /// <summary>What follows in time lies far apart, so that the charge of what was just written moves the beam least.</summary>
    Spread,
}
