using System.Collections.Immutable;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Dxf.Lowering;
using PatternCompiler.FrontEnds.Image;
using PatternCompiler.FrontEnds.Svg;

namespace PatternCompiler.Jobs;

/// <summary>One drawing of a job.</summary>
/// <param name="Path">Drawing file.</param>
public sealed record JobSource(string Path)
{
    /// <summary>Length of one drawing unit, or null to take the file's own.</summary>
    public double? UnitNanometres { get; init; }

    /// <summary>Layers to take; empty for all.</summary>
    public ImmutableArray<string> Layers { get; init; } = [];

    /// <summary>Goes before the names of its layers, so that they are not those of another drawing; empty to leave them.</summary>
    public string LayerPrefix { get; init; } = "";

    /// <summary>Moved right by this after turning.</summary>
    public double OffsetXNanometres { get; init; }

    /// <summary>Moved up by this after turning.</summary>
    public double OffsetYNanometres { get; init; }

    /// <summary>Turned counter-clockwise about the drawing's origin.</summary>
    public double RotationDegrees { get; init; }

    /// <summary>Ends of loose lines and arcs no further apart than this are joined.</summary>
    public double JoinGapNanometres { get; init; } = DrawingOptions.Default.JoinGapNanometres;

    /// <summary>What becomes of outlines that stay open.</summary>
    public OpenOutlines OpenOutlines { get; init; } = DrawingOptions.Default.OpenOutlines;

    /// <inheritdoc cref="DrawingOptions.NestedOutlines"/>
    public NestedOutlines? NestedOutlines { get; init; } = DrawingOptions.Default.NestedOutlines;

    /// <inheritdoc cref="DrawingOptions.TextAsStrokes"/>
    public bool? TextAsStrokes { get; init; }

    /// <inheritdoc cref="DrawingOptions.TopCell"/>
    public string? TopCell { get; init; }

    /// <inheritdoc cref="DrawingOptions.SvgLayerNaming"/>
    public SvgLayerNaming SvgLayerNaming { get; init; } = DrawingOptions.Default.SvgLayerNaming;

    /// <inheritdoc cref="DrawingOptions.Image"/>
    public ImageOptions Image { get; init; } = DrawingOptions.Default.Image;

    /// <summary>Formulas that replace those of a text layout's parameters, by name.</summary>
    public ImmutableSortedDictionary<string, string> Parameters { get; init; } = DrawingOptions.Default.Parameters;

    /// <summary>True if the drawing is neither moved nor turned.</summary>
    public bool StandsAsDrawn => OffsetXNanometres == 0 && OffsetYNanometres == 0 && RotationDegrees == 0;
}
