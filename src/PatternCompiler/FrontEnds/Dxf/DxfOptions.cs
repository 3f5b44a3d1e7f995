using System.Collections.Immutable;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Dxf;

/// <summary>How a DXF drawing is turned into a layout.</summary>
internal sealed record DxfOptions
{
    /// <summary>Everything at its default.</summary>
    public static DxfOptions Default { get; } = new();

    /// <summary>Length of one drawing unit in nanometres, or null to go by the file's $INSUNITS.</summary>
    public double? UnitNanometres { get; init; }

    /// <summary>One grid step of the layout in picometres.</summary>
    public long GridPicometres { get; init; } = LayoutDocument.DefaultGridPicometres;

    /// <summary>How far a chord may stray from the curve it stands for, in nanometres, in the finished pattern.</summary>
    public double ChordErrorNanometres { get; init; } = 1;

    /// <summary>
    /// Ends of lines and arcs that are no further apart than this are joined, in nanometres. The default covers the rounding of
    /// a file that gives millimetres with six decimals.
    /// </summary>
    public double JoinGapNanometres { get; init; } = 2;

    /// <summary>What becomes of outlines that stay open.</summary>
    public OpenOutlines OpenOutlines { get; init; } = OpenOutlines.AsLines;

    /// <summary>What a closed outline within another one means; null, undecided, fills them and says so.</summary>
    public NestedOutlines? NestedOutlines { get; init; }

    /// <summary>True to draw TEXT and MTEXT as single strokes; false to list them as ignored; null, undecided, makes them a loss.</summary>
    public bool? TextAsStrokes { get; init; }

    /// <summary>Layers to read, without regard to case; empty for all.</summary>
    public ImmutableArray<string> Layers { get; init; } = [];

    /// <summary>How much the drawing may repeat, and how long its lines are.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;
}
