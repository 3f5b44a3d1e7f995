using System.Collections.Immutable;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Gdsii;

/// <summary>How a GDSII stream is turned into a layout.</summary>
internal sealed record GdsiiOptions
{
    /// <summary>Everything at its default.</summary>
    public static GdsiiOptions Default { get; } = new();

    /// <summary>Length of one user unit in nanometres, or null to go by the stream's UNITS record.</summary>
    public double? UnitNanometres { get; init; }

    /// <summary>One grid step of the layout in picometres.</summary>
    public long GridPicometres { get; init; } = LayoutDocument.DefaultGridPicometres;

    /// <summary>Cell that is the drawing, or null for the only one that no other cell places.</summary>
    public string? TopCell { get; init; }

    /// <summary>Layers to read, as "5" or with the data type "5/0"; empty for all.</summary>
    public ImmutableArray<string> Layers { get; init; } = [];

    /// <summary>How much the drawing may repeat, and how long its lines are.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;
}
