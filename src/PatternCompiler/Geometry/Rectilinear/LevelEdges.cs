using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>
/// The horizontal edges of rectilinear rings, ordered by y, then by left end, with x coordinates replaced by their rank.
/// </summary>
internal sealed class LevelEdges
{
    private LevelEdges(int[] xs, LevelEdge[] edges)
    {
        Xs = xs;
        Edges = edges;
    }

    /// <summary>The distinct x coordinates, ascending.</summary>
    public int[] Xs { get; }

    /// <summary>The edges.</summary>
    public LevelEdge[] Edges { get; }

    /// <summary>True if every edge of a set is horizontal or vertical.</summary>
    public static bool AreAll(ContourSet rings)
    {
        for (int r = 0; r < rings.Count; r++)
        {
            ReadOnlySpan<GridPoint> ring = rings[r];
            GridPoint from = ring.IsEmpty ? default : ring[^1];
            foreach (GridPoint to in ring)
            {
                if (from.X != to.X && from.Y != to.Y)
                {
                    return false;
                }

                from = to;
            }
        }

        return true;
    }

    /// <summary>Collects the edges of one or two sets; crossing an edge upward adds its set's weight.</summary>
    public static LevelEdges Collect(ContourSet first, int firstWeight, ContourSet? second, int secondWeight)
    {
        var edges = new GrowingArray<LevelEdge>((first.PointCount / 2) + ((second?.PointCount ?? 0) / 2) + 4);
        Append(first, firstWeight, ref edges);
        if (second is not null)
        {
            Append(second, secondWeight, ref edges);
        }

        return Rank(edges.Span);
    }

    private static void Append(ContourSet rings, int weight, ref GrowingArray<LevelEdge> edges)
    {
        for (int r = 0; r < rings.Count; r++)
        {
            ReadOnlySpan<GridPoint> ring = rings[r];
            GridPoint from = ring.IsEmpty ? default : ring[^1];
            foreach (GridPoint to in ring)
            {
                if (from.Y == to.Y && from.X != to.X)
                {
                    edges.Add(from.X < to.X
                        ? new LevelEdge(from.Y, from.X, to.X, weight)
                        : new LevelEdge(from.Y, to.X, from.X, -weight));
                }

                from = to;
            }
        }
    }

    private static LevelEdges Rank(Span<LevelEdge> edges)
    {
        if (edges.IsEmpty)
        {
            return new LevelEdges([], []);
        }

        int minX = int.MaxValue, maxX = int.MinValue;
        foreach (ref readonly LevelEdge edge in edges)
        {
            minX = Math.Min(minX, edge.Left);
            maxX = Math.Max(maxX, edge.Right);
        }

        long words = (((long)maxX - minX) >> 6) + 1;
        int[] xs = words <= Math.Max(1 << 14, edges.Length) ? RankByBitmap(edges, minX, (int)words) : RankBySort(edges);
        return new LevelEdges(xs, Order(edges));
    }

    /// <summary>Marks every coordinate in a bitmap and counts the marks before each.</summary>
    private static int[] RankByBitmap(Span<LevelEdge> edges, int minX, int words)
    {
        var marks = new ulong[words];
        foreach (ref readonly LevelEdge edge in edges)
        {
            marks[(edge.Left - minX) >> 6] |= 1UL << (edge.Left - minX);
            marks[(edge.Right - minX) >> 6] |= 1UL << (edge.Right - minX);
        }

        var before = new int[words];
        int count = 0;
        for (int w = 0; w < words; w++)
        {
            before[w] = count;
            count += System.Numerics.BitOperations.PopCount(marks[w]);
        }

        var xs = new int[count];
        count = 0;
        for (int w = 0; w < words; w++)
        {
            for (ulong rest = marks[w]; rest != 0; rest &= rest - 1)
            {
                xs[count++] = minX + (w << 6) + System.Numerics.BitOperations.TrailingZeroCount(rest);
            }
        }

        foreach (ref LevelEdge edge in edges)
        {
            edge = new LevelEdge(edge.Y, RankOf(edge.Left - minX), RankOf(edge.Right - minX), edge.Weight);
        }

        return xs;

        int RankOf(int offset) =>
            before[offset >> 6] + System.Numerics.BitOperations.PopCount(marks[offset >> 6] & ((1UL << offset) - 1));
    }

    private static int[] RankBySort(Span<LevelEdge> edges)
    {
        var all = new int[edges.Length * 2];
        for (int i = 0; i < edges.Length; i++)
        {
            all[2 * i] = edges[i].Left;
            all[(2 * i) + 1] = edges[i].Right;
        }

        Array.Sort(all);
        int count = 0;
        for (int i = 0; i < all.Length; i++)
        {
            if (count == 0 || all[count - 1] != all[i])
            {
                all[count++] = all[i];
            }
        }

        int[] xs = all[..count];
        foreach (ref LevelEdge edge in edges)
        {
            edge = new LevelEdge(edge.Y, Array.BinarySearch(xs, edge.Left), Array.BinarySearch(xs, edge.Right), edge.Weight);
        }

        return xs;
    }

    private static LevelEdge[] Order(ReadOnlySpan<LevelEdge> edges)
    {
        var keys = new ulong[edges.Length];
        for (int i = 0; i < keys.Length; i++)
        {
            keys[i] = PixelKey.Pack(edges[i].Left, edges[i].Y);
        }

        ReadOnlySpan<int> order = new RadixSort().Order(keys);
        var sorted = new LevelEdge[edges.Length];
        for (int i = 0; i < sorted.Length; i++)
        {
            sorted[i] = edges[order[i]];
        }

        return sorted;
    }
}
