namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// One row of the arrangement: its vertices in order (y, then x) and, for each, the edges that pass through it.
/// </summary>
/// <param name="Edges">Edges that meet the row, as indices into the table of edges.</param>
/// <param name="Vertices">Keys of the vertices, ascending (see <see cref="PixelKey"/>).</param>
/// <param name="PassStarts">Start of each vertex's list in <paramref name="Passes"/>; one more entry at the end.</param>
/// <param name="Passes">Edges through each vertex's square (see <see cref="EdgePass"/>), as ascending positions in <paramref name="Edges"/>.</param>
/// <param name="HasRounded">Whether a vertex is a rounded crossing that does not lie on the grid itself.</param>
internal sealed record NodedRow(ReadOnlyMemory<int> Edges, ulong[] Vertices, int[] PassStarts, int[] Passes, bool HasRounded)
{
    /// <summary>Number of passes that are in use.</summary>
    public int PassCount => PassStarts[^1];
}
