using System.Collections.Immutable;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Places;

/// <summary>
/// The drawings of a pattern as they were drawn, laid over each other and put where the pattern stands, before any operation on
/// layers: what a place in the pattern is traced back to.
/// </summary>
/// <param name="Layout">The drawings in their place.</param>
/// <param name="Origins">For layers that operations make: the drawn layers that they are made from.</param>
internal sealed record DrawnPattern(LayoutDocument Layout, ImmutableSortedDictionary<string, ImmutableArray<string>> Origins)
{
    /// <summary>The drawn layers, by index, that a layer of the pattern comes from; all of them for a layer that is not known.</summary>
    public bool[] LayersBehind(string? layer)
    {
        string[] drawn = layer is null ? [.. Layout.Layers] : Origins.TryGetValue(layer, out ImmutableArray<string> origins) ? [.. origins] : [layer];
        return [.. Layout.Layers.Select(name => drawn.Contains(name, StringComparer.Ordinal))];
    }
}
