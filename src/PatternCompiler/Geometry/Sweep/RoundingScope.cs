namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Confines rounding to where a crossing demands it. An edge is moved onto the vertices it passes only if one of them is a
/// rounded crossing, or if it shares a square with an edge that is moved for that reason: then, and only then, the order
/// of the two could be upset. Everything else keeps its exact place, so an input without crossings off the grid is
/// not changed at all, and the result of one operation passes through another unchanged.
/// </summary>
internal static class RoundingScope
{
    /// <summary>
    /// Removes the passes beside a vertex that need no rounding. Edges that share a square which one of them does not
    /// pass through the centre of form groups; a group with a rounded crossing is moved as a whole.
    /// </summary>
    public static void DropNeedless(int edgeCount, NodedRow[] rows, int threads, CancellationToken cancellation)
    {
        bool[]? moves = null;
        EdgeGroups? groups = null;
        if (Array.Exists(rows, row => row.HasRounded))
        {
            groups = new EdgeGroups(edgeCount);
            moves = new bool[edgeCount];
            ParallelWork.For(rows.Length, threads, row => Join(groups, rows[row]), cancellation);
            ParallelWork.For(rows.Length, threads, row => MarkMoves(groups, moves, rows[row]), cancellation);
        }

        ParallelWork.For(rows.Length, threads, row => Drop(groups, moves, rows[row]), cancellation);
    }

    /// <summary>Joins the edges that pass the same square beside its centre.</summary>
    private static void Join(EdgeGroups groups, NodedRow row)
    {
        ReadOnlySpan<int> edges = row.Edges.Span;
        for (int v = 0; v < row.Vertices.Length; v++)
        {
            int first = -1;
            for (int i = row.PassStarts[v]; i < row.PassStarts[v + 1]; i++)
            {
                if (EdgePass.IsBeside(row.Passes[i]))
                {
                    int edge = edges[EdgePass.Position(row.Passes[i])];
                    if (first < 0)
                    {
                        first = edge;
                    }
                    else
                    {
                        groups.Join(first, edge);
                    }
                }
            }
        }
    }

    private static void MarkMoves(EdgeGroups groups, bool[] moves, NodedRow row)
    {
        ReadOnlySpan<int> edges = row.Edges.Span;
        for (int v = 0; row.HasRounded && v < row.Vertices.Length; v++)
        {
            if ((row.Vertices[v] & PixelKey.RoundedMark) == 0)
            {
                continue;
            }

            for (int i = row.PassStarts[v]; i < row.PassStarts[v + 1]; i++)
            {
                if (EdgePass.IsBeside(row.Passes[i]))
                {
                    moves[groups.Find(edges[EdgePass.Position(row.Passes[i])])] = true;
                    break;
                }
            }
        }
    }

    private static void Drop(EdgeGroups? groups, bool[]? moves, NodedRow row)
    {
        ReadOnlySpan<int> edges = row.Edges.Span;
        int[] starts = row.PassStarts, passes = row.Passes;
        int kept = 0;
        for (int v = 0; v < row.Vertices.Length; v++)
        {
            int i = starts[v];
            starts[v] = kept;
            for (; i < starts[v + 1]; i++)
            {
                int pass = passes[i];
                if (!EdgePass.IsBeside(pass) || (moves is not null && moves[groups!.Find(edges[EdgePass.Position(pass)])]))
                {
                    passes[kept++] = pass;
                }
            }
        }

        starts[row.Vertices.Length] = kept;
    }
}

/// <summary>An edge that passes a vertex's unit square, packed: the edge's position in its row and whether it misses the vertex itself.</summary>
internal static class EdgePass
{
    public static int Pack(int position, bool isBeside) => (position << 1) | (isBeside ? 1 : 0);

    public static int Position(int pass) => pass >> 1;

    public static bool IsBeside(int pass) => (pass & 1) != 0;
}
