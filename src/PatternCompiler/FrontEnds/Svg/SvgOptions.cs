using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>How an SVG drawing is turned into a layout.</summary>
internal sealed record SvgOptions
{
    /// <summary>Everything at its default.</summary>
    public static SvgOptions Default { get; } = new();

    /// <summary>Layer of what stands in no named group.</summary>
    public const string LayerWithoutGroup = "drawing";

    /// <summary>Length of one unit of the outermost coordinate system in nanometres, or null to go by the file (96 px = 1 inch).</summary>
    public double? UnitNanometres { get; init; }

    /// <summary>One grid step of the layout in picometres.</summary>
    public long GridPicometres { get; init; } = LayoutDocument.DefaultGridPicometres;

    /// <summary>How far a chord may stray from the curve it stands for, in nanometres.</summary>
    public double ChordErrorNanometres { get; init; } = 1;

    /// <summary>Where layers come from.</summary>
    public SvgLayerNaming LayerNaming { get; init; } = SvgLayerNaming.ByGroup;

    /// <summary>How much the drawing may repeat, and how long its lines are.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;
}
