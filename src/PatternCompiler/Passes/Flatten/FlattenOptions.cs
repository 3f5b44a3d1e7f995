using System.Collections.Immutable;
using PatternCompiler.Limits;

namespace PatternCompiler.Passes.Flatten;

/// <summary>What flattening reads.</summary>
internal sealed record FlattenOptions
{
    /// <summary>Chords within 1 nm, all layers.</summary>
    public static FlattenOptions Default { get; } = new();

    /// <summary>Largest distance between a curve and the polygon that stands for it, above zero.</summary>
    public double ChordErrorNanometres { get; init; } = 1;

    /// <summary>Names of the layers to keep; null keeps all.</summary>
    public ImmutableArray<string>? Layers { get; init; }

    /// <summary>Limits on copies and points of the flat drawing; what is beyond them is refused before memory is used.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;
}
