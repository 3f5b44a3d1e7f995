using System.Collections.Immutable;
using PatternCompiler.FrontEnds.Dxf;
using PatternCompiler.FrontEnds.Gdsii;
using PatternCompiler.FrontEnds.Image;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.FrontEnds.Svg;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds;

/// <summary>How drawings of any kind are read. What a kind of drawing does not need, its reader leaves aside.</summary>
internal sealed record DrawingOptions
{
    /// <summary>Everything at its default.</summary>
    public static DrawingOptions Default { get; } = new();

    /// <summary>Length of one drawing unit in nanometres, or null to go by the file itself.</summary>
    public double? UnitNanometres { get; init; }

    /// <summary>One grid step of the layout in picometres; a text layout names its own.</summary>
    public long GridPicometres { get; init; } = LayoutDocument.DefaultGridPicometres;

    /// <summary>How far a chord may stray from the curve it stands for, in nanometres.</summary>
    public double ChordErrorNanometres { get; init; } = 1;

    /// <summary>Layers to read; empty for all.</summary>
    public ImmutableArray<string> Layers { get; init; } = [];

    /// <summary>Ends of loose lines and arcs no further apart than this are joined, in nanometres.</summary>
    public double JoinGapNanometres { get; init; } = DxfOptions.Default.JoinGapNanometres;

    /// <summary>What becomes of outlines that stay open.</summary>
    public OpenOutlines OpenOutlines { get; init; } = OpenOutlines.AsLines;

    /// <summary>What a closed outline within another one of a DXF drawing means.</summary>
    public NestedOutlines? NestedOutlines { get; init; }

    /// <summary>True to draw the text of a DXF drawing as single strokes; false to list it as ignored; null, undecided, makes it a loss.</summary>
    public bool? TextAsStrokes { get; init; }

    /// <summary>Cell of a GDSII stream that is the drawing, or null for the only one that no other cell places.</summary>
    public string? TopCell { get; init; }

    /// <summary>How pictures are read; the drawing unit is the size of a pixel.</summary>
    public ImageOptions Image { get; init; } = new();

    /// <summary>Where the layers of an SVG drawing come from.</summary>
    public SvgLayerNaming SvgLayerNaming { get; init; } = SvgLayerNaming.ByGroup;

    /// <summary>Formulas that replace those of a text layout's top-level parameters, by name.</summary>
    public ImmutableSortedDictionary<string, string> Parameters { get; init; } = LayoutReadOptions.Default.Parameters;

    /// <inheritdoc cref="LayoutReadOptions.OpenInclude"/>
    public Func<string, string, IncludedFile?>? OpenInclude { get; init; }

    /// <summary>How much the drawing may repeat, and how long its lines are.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;

    internal LayoutReadOptions ForLayout => new() { Parameters = Parameters, OpenInclude = OpenInclude, Limits = Limits };

    internal ImageOptions ForImage => Image with { PixelNanometres = Image.PixelNanometres ?? UnitNanometres, GridPicometres = GridPicometres };

    internal SvgOptions ForSvg => new()
    {
        UnitNanometres = UnitNanometres,
        GridPicometres = GridPicometres,
        ChordErrorNanometres = ChordErrorNanometres,
        LayerNaming = SvgLayerNaming,
        Limits = Limits,
    };

    internal DxfOptions ForDxf => new()
    {
        UnitNanometres = UnitNanometres,
        GridPicometres = GridPicometres,
        ChordErrorNanometres = ChordErrorNanometres,
        Layers = Layers,
        JoinGapNanometres = JoinGapNanometres,
        OpenOutlines = OpenOutlines,
        NestedOutlines = NestedOutlines,
        TextAsStrokes = TextAsStrokes,
        Limits = Limits,
    };

    internal GdsiiOptions ForGdsii => new()
    {
        UnitNanometres = UnitNanometres,
        GridPicometres = GridPicometres,
        TopCell = TopCell,
        Layers = Layers,
        Limits = Limits,
    };
}
