using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Flatten;

/// <summary>Gathers what is of one layer and one dose factor.</summary>
internal sealed class GroupBuilder(int layer, DoseFactor doseFactor, int rank)
{
    /// <summary>Rings of the areas.</summary>
    public ContourSetBuilder Area { get; } = new();

    /// <summary>Lines without width.</summary>
    public List<ImmutableArray<GridPoint>> Lines { get; } = [];

    /// <summary>Dots.</summary>
    public List<GridPoint> Dots { get; } = [];

    /// <summary>Index of the layer.</summary>
    public int Layer => layer;

    /// <summary>Dose factor of everything in the group.</summary>
    public DoseFactor DoseFactor => doseFactor;

    /// <summary>The finished group.</summary>
    public FlatLayer Build() => new(layer, doseFactor, Area.ToContourSet(), [.. Lines], [.. Dots]) { Rank = rank };
}
