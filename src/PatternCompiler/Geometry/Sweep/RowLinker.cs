namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Joins each pass of an edge with the next one of the same edge above: first within every row, then from row to row.
/// Where an edge passes several squares on one grid line it comes from below at one end of that run and goes on
/// upward at the other.
/// </summary>
internal sealed class RowLinker
{
    private const int None = -1;

    private readonly InputEdge[] edges;
    private readonly NodedRow[] rows;
    private readonly int[] firstVertices;
    private readonly int[] firstPasses;
    private readonly Open[][] opens;

    private RowLinker(InputEdge[] edges, NodedRow[] rows)
    {
        this.edges = edges;
        this.rows = rows;
        firstVertices = new int[rows.Length + 1];
        firstPasses = new int[rows.Length + 1];
        opens = new Open[rows.Length][];
        for (int r = 0; r < rows.Length; r++)
        {
            firstVertices[r + 1] = checked(firstVertices[r] + rows[r].Vertices.Length);
            firstPasses[r + 1] = checked(firstPasses[r] + rows[r].PassCount);
        }
    }

    /// <summary>Makes one arrangement of all rows, from the lowest up. The rows are used up.</summary>
    public static Arrangement Link(InputEdge[] edges, NodedRow[] rows, int threads, CancellationToken cancellation)
    {
        var linker = new RowLinker(edges, rows);
        ulong[] vertices = GC.AllocateUninitializedArray<ulong>(linker.firstVertices[^1]);
        int[] starts = GC.AllocateUninitializedArray<int>(vertices.Length + 1);
        int[] linkEdges = GC.AllocateUninitializedArray<int>(linker.firstPasses[^1]);
        int[] uppers = GC.AllocateUninitializedArray<int>(linkEdges.Length);
        starts[^1] = linkEdges.Length;
        ParallelWork.For(rows.Length, threads, row => linker.LinkRow(row, vertices, starts, linkEdges, uppers), cancellation);
        linker.LinkRows(uppers);
        return new Arrangement(vertices, starts, linkEdges, uppers, edges);
    }

    private void LinkRow(int index, ulong[] allVertices, int[] starts, int[] linkEdges, int[] uppers)
    {
        NodedRow row = rows[index];
        ReadOnlySpan<int> rowEdges = row.Edges.Span;
        int firstVertex = firstVertices[index], firstPass = firstPasses[index];
        row.Vertices.CopyTo(allVertices, firstVertex);

        // Of each edge, by its position in the row: the vertex at which it comes from below, the pass from which it goes
        // on upward, and that on the highest grid line, whose upper end lies in another row.
        int[] entry = GC.AllocateUninitializedArray<int>(rowEdges.Length);
        int[] holder = GC.AllocateUninitializedArray<int>(rowEdges.Length);
        int[] highest = GC.AllocateUninitializedArray<int>(rowEdges.Length);
        Array.Fill(entry, None);
        for (int v = row.Vertices.Length - 1; v >= 0; v--)
        {
            uint line = (uint)(row.Vertices[v] >> 32);
            starts[firstVertex + v] = firstPass + row.PassStarts[v];
            for (int i = row.PassStarts[v]; i < row.PassStarts[v + 1]; i++)
            {
                int position = EdgePass.Position(row.Passes[i]);
                int edge = rowEdges[position];
                int pass = firstPass + i;
                int above = entry[position];
                linkEdges[pass] = edge;
                if (above == None || (uint)(row.Vertices[above - firstVertex] >> 32) != line)
                {
                    if (above == None)
                    {
                        highest[position] = pass;
                    }

                    uppers[pass] = above;
                    entry[position] = firstVertex + v;
                    holder[position] = pass;
                }
                else if (edges[edge].UpperX >= edges[edge].LowerX)
                {
                    uppers[pass] = None;
                    entry[position] = firstVertex + v;
                }
                else
                {
                    uppers[pass] = uppers[holder[position]];
                    uppers[holder[position]] = None;
                    highest[position] = highest[position] == holder[position] ? pass : highest[position];
                    holder[position] = pass;
                }
            }
        }

        opens[index] = row.Vertices.Length == 0 ? [] : ListOpen(row, entry, highest);
        rows[index] = null!;
    }

    /// <summary>Edges that go on into other rows.</summary>
    private Open[] ListOpen(NodedRow row, int[] entry, int[] highest)
    {
        ReadOnlySpan<int> rowEdges = row.Edges.Span;
        int lowestLine = PixelKey.Y(row.Vertices[0]), highestLine = PixelKey.Y(row.Vertices[^1]);
        var list = new List<Open>();
        for (int position = 0; position < entry.Length; position++)
        {
            ref readonly InputEdge edge = ref edges[rowEdges[position]];
            if (entry[position] != None && (edge.LowerY < lowestLine || edge.UpperY > highestLine))
            {
                list.Add(new Open(rowEdges[position], entry[position], highest[position]));
            }
        }

        return [.. list];
    }

    private void LinkRows(int[] uppers)
    {
        int[] above = GC.AllocateUninitializedArray<int>(edges.Length);
        Array.Fill(above, None);
        for (int r = opens.Length - 1; r >= 0; r--)
        {
            foreach (Open open in opens[r])
            {
                uppers[open.HighestPass] = above[open.Edge];
                above[open.Edge] = open.LowestVertex;
            }
        }
    }

    /// <summary>An edge that goes on into other rows, and its ends within one row.</summary>
    private readonly record struct Open(int Edge, int LowestVertex, int HighestPass);
}

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
