namespace PatternCompiler.Passes.Offset;

/// <summary>How far the areas of a layer move.</summary>
/// <param name="Layer">Name of the layer, or null for every layer that is not named.</param>
/// <param name="DistanceNanometres">Outward distance; negative shrinks.</param>
internal sealed record LayerOffset(string? Layer, double DistanceNanometres);
