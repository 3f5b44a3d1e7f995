using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fields;

/// <summary>A figure near a seam.</summary>
/// <param name="Layer">Its layer.</param>
/// <param name="Box">Its extent; the seam is upright.</param>
/// <param name="IsCut">It is cut where it crosses the seam; otherwise it stays whole.</param>
internal readonly record struct SeamNeighbour(int Layer, GridBox Box, bool IsCut);
