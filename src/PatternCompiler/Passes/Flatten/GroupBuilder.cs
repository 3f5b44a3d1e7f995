using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Flatten;

/// <summary>Gathers what is of one layer and one dose factor.</summary>
internal sealed class GroupBuilder(int layer, DoseFactor doseFactor, int rank)
{
    private readonly ContourSetBuilder area = new();
    private ContourSet? adopted;

    /// <summary>Takes rings of the areas.</summary>
    public ContourSetBuilder Area
    {
        get
        {
            if (adopted is not null)
            {
                area.AddAll(adopted);
                adopted = null;
            }

            return area;
        }
    }

    /// <summary>Lines without width.</summary>
    public List<ImmutableArray<GridPoint>> Lines { get; } = [];

    /// <summary>Dots.</summary>
    public List<GridPoint> Dots { get; } = [];

    /// <summary>Index of the layer.</summary>
    public int Layer => layer;

    /// <summary>Dose factor of everything in the group.</summary>
    public DoseFactor DoseFactor => doseFactor;

    /// <summary>Adds rings as they are; where they are all there is, they are not copied.</summary>
    public void AddAll(ContourSet rings)
    {
        if (adopted is null && area.Count == 0)
        {
            adopted = rings.Count > 0 ? rings : null;
        }
        else
        {
            Area.AddAll(rings);
        }
    }

    /// <summary>The finished group.</summary>
    public FlatLayer Build() => new(layer, doseFactor, adopted ?? area.ToContourSet(), [.. Lines], [.. Dots]) { Rank = rank };
}
