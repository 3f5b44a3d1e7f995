using System.Collections.Immutable;

namespace PatternCompiler.Geometry.Lettering;

/// <summary>One drawn character.</summary>
/// <param name="Strokes">Polylines of two points or more on the glyph cell.</param>
/// <param name="Width">Room it takes on the line, without the gap to its neighbour.</param>
internal sealed record Glyph(ImmutableArray<ImmutableArray<GridPoint>> Strokes, int Width);
