namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// All edges after rounding, as links between vertices that meet nowhere else. Vertices are numbered by y, then x. Links
/// along a grid line are left out: the sweep sees them as a change of winding between the region below the line and the
/// region above it.
/// </summary>
internal sealed class Arrangement
{
    private readonly ulong[] vertices;

    private Arrangement(ulong[] vertices, int[] linkStarts, int[] linkEdges, int[] linkUppers, InputEdge[] edges)
    {
        this.vertices = vertices;
        LinkStarts = linkStarts;
        LinkEdges = linkEdges;
        LinkUppers = linkUppers;
        Edges = edges;
    }

    /// <summary>Number of vertices.</summary>
    public int VertexCount => vertices.Length;

    /// <summary>Start of each vertex's upward links in <see cref="LinkEdges"/> and <see cref="LinkUppers"/>; one more entry at the end.</summary>
    public int[] LinkStarts { get; }

    /// <summary>Which edge a link is part of.</summary>
    public int[] LinkEdges { get; }

    /// <summary>The vertex at a link's upper end, or -1 where an edge has no upward link at this vertex.</summary>
    public int[] LinkUppers { get; }

    /// <summary>The input.</summary>
    public InputEdge[] Edges { get; }

    public int X(int vertex) => PixelKey.X(vertices[vertex]);

    public int Y(int vertex) => PixelKey.Y(vertices[vertex]);

    /// <summary>Rounds all edges of the operands to the grid.</summary>
    public static Arrangement Build(ContourSet first, ContourSet? second, int threads, CancellationToken cancellation)
    {
        InputEdge[] edges = EdgeTable.Build(first, second);
        if (edges.Length == 0)
        {
            return new Arrangement([], [0], [], [], edges);
        }

        NodedRow[] rows = NodeRows(edges, threads, cancellation);
        int vertexCount = 0, passCount = 0;
        foreach (NodedRow row in rows)
        {
            vertexCount = checked(vertexCount + row.Vertices.Length);
            passCount = checked(passCount + row.Passes.Length);
        }

        ulong[] vertices = GC.AllocateUninitializedArray<ulong>(vertexCount);
        int[] starts = GC.AllocateUninitializedArray<int>(vertexCount + 1);
        int[] passes = GC.AllocateUninitializedArray<int>(passCount);
        vertexCount = passCount = 0;
        for (int r = 0; r < rows.Length; r++)
        {
            NodedRow row = rows[r];
            row.Vertices.CopyTo(vertices, vertexCount);
            row.Passes.CopyTo(passes, passCount);
            for (int i = 0; i < row.Vertices.Length; i++)
            {
                starts[vertexCount + i] = passCount + row.PassStarts[i];
            }

            vertexCount += row.Vertices.Length;
            passCount += row.Passes.Length;
            rows[r] = null!;
        }

        starts[vertexCount] = passCount;
        RoundingScope.DropNeedless(edges.Length, vertices, starts, passes);
        int[] uppers = Link(edges, vertices, starts, passes);
        return new Arrangement(vertices, starts, passes, uppers, edges);
    }

    private static NodedRow[] NodeRows(InputEdge[] edges, int threads, CancellationToken cancellation)
    {
        RowPlan plan = RowPlan.Build(edges);
        var rows = new NodedRow[plan.Rows.Count];
        if (threads == 1 || rows.Length == 1)
        {
            var noder = new RowNoder(edges);
            for (int row = 0; row < rows.Length; row++)
            {
                cancellation.ThrowIfCancellationRequested();
                rows[row] = noder.Node(plan.Rows.First(row), plan.Rows.Last(row), plan.Edges(row));
            }
        }
        else
        {
            Parallel.For(
                0,
                rows.Length,
                new ParallelOptions { MaxDegreeOfParallelism = threads, CancellationToken = cancellation },
                () => new RowNoder(edges),
                (row, _, noder) =>
                {
                    rows[row] = noder.Node(plan.Rows.First(row), plan.Rows.Last(row), plan.Edges(row));
                    return noder;
                },
                _ => { });
        }

        return rows;
    }

    /// <summary>
    /// Walks all passes from the top down and joins each with the next one of the same edge above. Where an edge passes
    /// several squares on one grid line it comes from below at one end of that run and goes on upward at the other.
    /// </summary>
    private static int[] Link(InputEdge[] edges, ulong[] vertices, int[] starts, int[] passes)
    {
        int[] uppers = GC.AllocateUninitializedArray<int>(passes.Length);
        int[] entry = new int[edges.Length];
        int[] holder = new int[edges.Length];
        Array.Fill(entry, -1);
        for (int v = vertices.Length - 1; v >= 0; v--)
        {
            uint line = (uint)(vertices[v] >> 32);
            for (int pass = starts[v]; pass < starts[v + 1]; pass++)
            {
                int e = passes[pass];
                int above = entry[e];
                if (above < 0 || (uint)(vertices[above] >> 32) != line)
                {
                    uppers[pass] = above;
                    entry[e] = v;
                    holder[e] = pass;
                }
                else if (edges[e].UpperX >= edges[e].LowerX)
                {
                    uppers[pass] = -1;
                    entry[e] = v;
                }
                else
                {
                    uppers[pass] = uppers[holder[e]];
                    uppers[holder[e]] = -1;
                    holder[e] = pass;
                }
            }
        }

        return uppers;
    }
}
