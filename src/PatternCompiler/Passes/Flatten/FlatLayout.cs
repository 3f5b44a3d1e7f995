using System.Collections.Immutable;

namespace PatternCompiler.Passes.Flatten;

/// <summary>A layout without hierarchy: what the geometry passes work on.</summary>
/// <param name="GridPicometres">Size of one grid step in picometres.</param>
/// <param name="LayerNames">Layer names of the layout.</param>
/// <param name="Groups">One entry per layer and dose factor, ordered by layer, then by dose factor.</param>
internal sealed record FlatLayout(long GridPicometres, ImmutableArray<string> LayerNames, ImmutableArray<FlatLayer> Groups);
