using System.Collections.Immutable;

namespace PatternCompiler.Passes.Flatten;

/// <summary>What flattening reads.</summary>
public sealed record FlattenOptions
{
    /// <summary>Chords within 1 nm, all layers.</summary>
    public static FlattenOptions Default { get; } = new();

    /// <summary>Largest distance between a curve and the polygon that stands for it, above zero.</summary>
    public double ChordErrorNanometres { get; init; } = 1;

    /// <summary>Names of the layers to keep; null keeps all.</summary>
    public ImmutableArray<string>? Layers { get; init; }

    /// <summary>Largest number of points of the flat drawing; a drawing with more is refused before memory is used.</summary>
    public long MaximumPoints { get; init; } = 250_000_000;
}
