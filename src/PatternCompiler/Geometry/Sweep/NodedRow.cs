namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// One row of the arrangement after rounding: its vertices in order (y, then x) and, for each, the edges that pass
/// through it.
/// </summary>
/// <param name="Vertices">Keys of the vertices, ascending (see <see cref="PixelKey"/>).</param>
/// <param name="PassStarts">Start of each vertex's list in <paramref name="Passes"/>; one more entry at the end.</param>
/// <param name="Passes">Edges through each vertex's square (see <see cref="EdgePass"/>), ascending for each vertex.</param>
internal sealed record NodedRow(ulong[] Vertices, int[] PassStarts, int[] Passes);
