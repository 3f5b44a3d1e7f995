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
    public static void DropNeedless(int edgeCount, ulong[] vertices, int[] starts, int[] passes)
    {
        var group = new int[edgeCount];
        for (int e = 0; e < group.Length; e++)
        {
            group[e] = e;
        }

        for (int v = 0; v < vertices.Length; v++)
        {
            Join(group, passes.AsSpan(starts[v], starts[v + 1] - starts[v]));
        }

        var moves = new bool[edgeCount];
        for (int v = 0; v < vertices.Length; v++)
        {
            if ((vertices[v] & PixelKey.RoundedMark) != 0)
            {
                for (int i = starts[v]; i < starts[v + 1]; i++)
                {
                    if (EdgePass.IsBeside(passes[i]))
                    {
                        moves[Find(group, EdgePass.Edge(passes[i]))] = true;
                        break;
                    }
                }
            }
        }

        int kept = 0;
        for (int v = 0; v < vertices.Length; v++)
        {
            int i = starts[v];
            starts[v] = kept;
            for (; i < starts[v + 1]; i++)
            {
                int edge = EdgePass.Edge(passes[i]);
                if (!EdgePass.IsBeside(passes[i]) || moves[Find(group, edge)])
                {
                    passes[kept++] = edge;
                }
            }
        }

        starts[vertices.Length] = kept;
    }

    private static void Join(int[] group, ReadOnlySpan<int> passes)
    {
        int first = -1;
        foreach (int pass in passes)
        {
            if (EdgePass.IsBeside(pass))
            {
                int root = Find(group, EdgePass.Edge(pass));
                if (first < 0)
                {
                    first = root;
                }
                else if (root != first)
                {
                    // The smaller index leads, so that groups do not depend on the order of joining.
                    int lead = Math.Min(root, first);
                    group[Math.Max(root, first)] = lead;
                    first = lead;
                }
            }
        }
    }

    private static int Find(int[] group, int edge)
    {
        while (group[edge] != edge)
        {
            group[edge] = group[group[edge]];
            edge = group[edge];
        }

        return edge;
    }
}
