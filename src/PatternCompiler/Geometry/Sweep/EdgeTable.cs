namespace PatternCompiler.Geometry.Sweep;

/// <summary>Turns rings into a flat table of edges; edges without length are left out.</summary>
internal static class EdgeTable
{
    public static InputEdge[] Build(ContourSet first, ContourSet? second)
    {
        var edges = new InputEdge[first.PointCount + (second?.PointCount ?? 0)];
        int count = Append(first, 0, edges, 0);
        if (second is not null)
        {
            count = Append(second, InputEdge.SecondOperand, edges, count);
        }

        if (count != edges.Length)
        {
            Array.Resize(ref edges, count);
        }

        return edges;
    }

    /// <summary>Adds the edges whose lower end lies on one of the grid lines from <paramref name="low"/> to <paramref name="high"/>.</summary>
    public static void AppendWithin(ContourSet set, int operand, int low, int high, ref GrowingArray<InputEdge> edges)
    {
        for (int i = 0; i < set.Count; i++)
        {
            ReadOnlySpan<GridPoint> ring = set[i];
            GridPoint from = ring.IsEmpty ? default : ring[^1];
            foreach (GridPoint to in ring)
            {
                int lower = Math.Min(from.Y, to.Y);
                if (lower >= low && lower <= high && from != to)
                {
                    edges.Add(Edge(from, to, operand));
                }

                from = to;
            }
        }
    }

    private static InputEdge Edge(GridPoint from, GridPoint to, int operand) =>
        from.Y < to.Y || (from.Y == to.Y && from.X < to.X)
            ? new InputEdge(from.X, from.Y, to.X, to.Y, operand)
            : new InputEdge(to.X, to.Y, from.X, from.Y, operand | InputEdge.RunsDown);

    private static int Append(ContourSet set, int operand, InputEdge[] edges, int count)
    {
        for (int i = 0; i < set.Count; i++)
        {
            ReadOnlySpan<GridPoint> ring = set[i];
            GridPoint from = ring.IsEmpty ? default : ring[^1];
            foreach (GridPoint to in ring)
            {
                if (from != to)
                {
                    edges[count++] = Edge(from, to, operand);
                }

                from = to;
            }
        }

        return count;
    }
}
