using PatternCompiler.FrontEnds.Common;

namespace PatternCompiler.Jobs;

/// <summary>One drawing of a job.</summary>
/// <param name="Path">Drawing file.</param>
public sealed record JobSource(string Path)
{
    /// <summary>How it is read. Grid, chord error and limits are those of the job.</summary>
    public DrawingOptions Reading { get; init; } = DrawingOptions.Default;

    /// <summary>Where it lies among the others.</summary>
    public SourcePlacement Placement { get; init; } = SourcePlacement.AsDrawn;
}

/// <summary>How a drawing is laid over the others of a job.</summary>
public sealed record SourcePlacement
{
    /// <summary>Neither moved nor turned, its layers under their own names.</summary>
    public static SourcePlacement AsDrawn { get; } = new();

    /// <summary>Stands before the names of its layers, so that they are not those of another drawing; empty to leave them.</summary>
    public string LayerPrefix { get; init; } = "";

    /// <summary>Moved right by this after turning.</summary>
    public double OffsetXNanometres { get; init; }

    /// <summary>Moved up by this after turning.</summary>
    public double OffsetYNanometres { get; init; }

    /// <summary>Turned counter-clockwise about the drawing's origin.</summary>
    public double RotationDegrees { get; init; }
}
