using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Geometry;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Boolean;

/// <summary>The merged areas of all layers while operations replace them.</summary>
internal sealed class LayerTable
{
    private readonly List<string> names;
    private readonly List<List<DosedArea>?> areas;
    private readonly FlatLayout input;
    private readonly WorkLimits limits;
    private readonly CancellationToken cancellation;

    public LayerTable(FlatLayout input, WorkLimits limits, CancellationToken cancellation)
    {
        this.limits = limits;
        this.input = input;
        this.cancellation = cancellation;
        names = [.. input.LayerNames];
        areas = [.. input.LayerNames.Select(_ => (List<DosedArea>?)null)];
    }

    public IReadOnlyList<string> Names => names;

    public int Find(string name)
    {
        int layer = names.IndexOf(name);
        if (layer < 0)
        {
            throw BooleanCodes.NoSuchLayer(name, names);
        }

        return layer;
    }

    public int FindOrAdd(string name)
    {
        int layer = names.IndexOf(name);
        if (layer < 0)
        {
            layer = names.Count;
            names.Add(name);
            areas.Add([]);
        }

        return layer;
    }

    /// <summary>The layer's areas by dose factor, merged on first use, in the order in which the drawing first uses the factors.</summary>
    public IReadOnlyList<DosedArea> Areas(int layer)
    {
        if (areas[layer] is { } known)
        {
            return known;
        }

        var merged = new List<DosedArea>();
        foreach (FlatLayer group in input.Groups.OrderBy(group => group.Rank))
        {
            if (group.Layer == layer && group.Area.Count > 0)
            {
                merged.Add(new DosedArea(group.DoseFactor, RegionBoolean.Merge(group.Area, cancellation: cancellation, limits: limits.At($"layer '{names[layer]}'"))));
            }
        }

        areas[layer] = merged;
        return merged;
    }

    public void Set(int layer, List<DosedArea> result) => areas[layer] = result;
}

/// <summary>A merged area with one dose factor.</summary>
internal readonly record struct DosedArea(DoseFactor DoseFactor, ContourSet Region);
