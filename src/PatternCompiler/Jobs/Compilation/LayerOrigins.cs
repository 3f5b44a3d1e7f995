using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Jobs.Operations;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>From which drawn layers a job's operations make their layers: where in the drawing a figure of such a layer comes from.</summary>
internal static class LayerOrigins
{
    /// <summary>Every layer is a drawn one.</summary>
    public static ImmutableSortedDictionary<string, ImmutableArray<string>> None { get; } =
        ImmutableSortedDictionary.Create<string, ImmutableArray<string>>(StringComparer.Ordinal);

    /// <summary>For each layer that operations make, the drawn layers behind it.</summary>
    public static ImmutableSortedDictionary<string, ImmutableArray<string>> Of(Job job)
    {
        ImmutableSortedDictionary<string, ImmutableArray<string>> made = None;
        foreach (AreaOperation operation in job.Operations)
        {
            made = made.SetItem(operation.Layer, [.. Behind(operation.Area, made).Distinct(StringComparer.Ordinal)]);
        }

        return made;
    }

    private static IEnumerable<string> Behind(LayerExpression expression, ImmutableSortedDictionary<string, ImmutableArray<string>> made) => expression switch
    {
        LayerArea layer => made.TryGetValue(layer.Name, out ImmutableArray<string> origins) ? origins : [layer.Name],
        FrameArea frame => made.TryGetValue(frame.Name, out ImmutableArray<string> origins) ? origins : [frame.Name],
        MovedArea moved => Behind(moved.Area, made),

        // What is taken away leaves its edges, but nothing of it is left inside.
        CombinedArea { Operation: BooleanOperation.Difference } difference => Behind(difference.First, made),
        CombinedArea combined => Behind(combined.First, made).Concat(Behind(combined.Second, made)),
        _ => [],
    };
}
