using System.Collections.Immutable;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Common;

/// <summary>How drawings of any kind are read. What a kind of drawing does not need, its reader leaves aside.</summary>
public sealed record DrawingOptions
{
    /// <summary>Everything at its default.</summary>
    public static DrawingOptions Default { get; } = new();

    /// <summary>
    /// Length of one drawing unit in nanometres, or null to go by the file itself: $INSUNITS of DXF, 96 px to an inch in SVG, the UNITS
    /// record of GDSII. For a picture the width and height of a pixel, without which it cannot be read.
    /// </summary>
    public double? UnitNanometres { get; init; }

    /// <summary>One grid step of the layout in picometres; a text layout names its own. In a job that of the job, as chord error and limits are.</summary>
    public long GridPicometres { get; init; } = LayoutDocument.DefaultGridPicometres;

    /// <summary>How far a chord may stray from the curve it stands for, in nanometres, in the finished pattern.</summary>
    public double ChordErrorNanometres { get; init; } = 1;

    /// <summary>Layers to read, of DXF without regard to case, of GDSII as "5" or with the data type "5/0"; empty for all.</summary>
    public ImmutableArray<string> Layers { get; init; } = [];

    /// <summary>
    /// Ends of loose lines and arcs no further apart than this are joined, in nanometres. The default covers the rounding of a DXF file
    /// that gives millimetres with six decimals.
    /// </summary>
    public double JoinGapNanometres { get; init; } = 2;

    /// <summary>What becomes of outlines that stay open.</summary>
    public OpenOutlines OpenOutlines { get; init; } = OpenOutlines.AsLines;

    /// <summary>What a closed outline within another one of a DXF drawing means; null, undecided, fills them and says so.</summary>
    public NestedOutlines? NestedOutlines { get; init; }

    /// <summary>True to draw the text of a DXF drawing as single strokes; false to list it as ignored; null, undecided, makes it a loss.</summary>
    public bool? TextAsStrokes { get; init; }

    /// <summary>Cell of a GDSII stream that is the drawing, or null for the only one that no other cell places.</summary>
    public string? TopCell { get; init; }

    /// <summary>Which pixels of a picture are exposed, and how much.</summary>
    public ImageOptions Image { get; init; } = new();

    /// <summary>Where the layers of an SVG drawing come from.</summary>
    public SvgLayerNaming SvgLayerNaming { get; init; } = SvgLayerNaming.ByGroup;

    /// <summary>
    /// Formulas that replace those of a text layout's top-level <c>let</c> statements, by parameter name, e.g. "pitch" = "2.5 um".
    /// A name that no <c>let</c> defines is an error.
    /// </summary>
    public ImmutableSortedDictionary<string, string> Parameters { get; init; } = ImmutableSortedDictionary.Create<string, string>(StringComparer.Ordinal);

    /// <summary>
    /// How much the drawing may repeat, and how long its lines are. Of a text layout: how many statements <c>repeat</c> may run, where a
    /// long line counts once for every 32 characters, and how many letters are drawn (each counts for four statements).
    /// </summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;

    /// <summary>
    /// Opens an included file of a text layout: takes the name as written and the name of the file that includes it; null if there is no
    /// such file. The reader disposes of the stream. Without it, <c>include</c> is an error.
    /// </summary>
    internal Func<string, string, IncludedFile?>? OpenInclude { get; init; }
}

/// <summary>What a closed outline within another one of the same layer and block means. The format does not say.</summary>
public enum NestedOutlines
{
    /// <summary>Every closed outline is an area of its own: what lies within another one adds nothing.</summary>
    Filled,

    /// <summary>
    /// Outlines alternate from outside to inside between area and hole, as in a drawing of a ring by two circles. Outlines that
    /// cross each other alternate where they overlap, too.
    /// </summary>
    Holes,
}

/// <summary>What becomes of lines and arcs that do not close to an outline.</summary>
public enum OpenOutlines
{
    /// <summary>Written as single lines without width.</summary>
    AsLines,

    /// <summary>An error that lists where they end.</summary>
    AsError,
}

/// <summary>Where the layers of an SVG drawing come from; SVG itself has none.</summary>
public enum SvgLayerNaming
{
    /// <summary>The outermost group with a name: its <c>label</c> attribute of any namespace, else its <c>id</c>.</summary>
    ByGroup,

    /// <summary>The colour of the fill or of the stroke, as <c>#rrggbb</c>.</summary>
    ByColour,
}

/// <summary>Which pixels of a picture are exposed, and how much.</summary>
public sealed record ImageOptions
{
    /// <summary>
    /// With one dose level: pixels at least this dark are exposed, from above 0 (nearly all) to 1 (black only). Not used with more
    /// levels.
    /// </summary>
    public double Threshold { get; init; } = 0.5;

    /// <summary>
    /// Number of dose levels above none, 1 to 255. With n levels the darkness is rounded to k/n, and pixels with k of 1 or more are
    /// exposed with the dose factor k/n.
    /// </summary>
    public int DoseLevels { get; init; } = 1;

    /// <summary>
    /// Pixels of level 0 are areas with the number 0 as well, unless they are wholly transparent: where numbers are heights, 0 is one of
    /// them. There are at most 254 levels then.
    /// </summary>
    public bool KeepsZero { get; init; }

    /// <summary>True to expose what is light; false to expose what is dark.</summary>
    public bool ExposesLight { get; init; }
}

/// <summary>An included file, opened.</summary>
/// <param name="Content">Its bytes.</param>
/// <param name="Name">Its name for messages and for includes of its own.</param>
public sealed record IncludedFile(Stream Content, string Name);
