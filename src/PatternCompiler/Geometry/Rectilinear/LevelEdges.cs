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

        int minX = int.MaxValue, maxX = int.MinValue, minY = int.MaxValue, maxY = int.MinValue;
        foreach (ref readonly LevelEdge edge in edges)
        {
            minX = Math.Min(minX, edge.Left);
            maxX = Math.Max(maxX, edge.Right);
            minY = Math.Min(minY, edge.Y);
            maxY = Math.Max(maxY, edge.Y);
        }

        var xs = new CoordinateRanks(minX, maxX, edges.Length * 2);
        var ys = new CoordinateRanks(minY, maxY, edges.Length);
        foreach (ref readonly LevelEdge edge in edges)
        {
            xs.Add(edge.Left);
            xs.Add(edge.Right);
            ys.Add(edge.Y);
        }

        xs.Complete();
        ys.Complete();
        return new LevelEdges(xs.ToArray(), Order(edges, xs, ys));
    }

    /// <summary>Replaces x coordinates by their ranks and orders the edges. Ranks are small, so that few digits are sorted.</summary>
    private static LevelEdge[] Order(Span<LevelEdge> edges, CoordinateRanks xs, CoordinateRanks ys)
    {
        int indexBits = BitsOf(edges.Length), leftBits = BitsOf(xs.Count), levelBits = BitsOf(ys.Count);
        if (indexBits + leftBits + levelBits > 64)
        {
            // Beyond a million different coordinates.
            return OrderMany(edges, xs);
        }

        ulong[] keys = GC.AllocateUninitializedArray<ulong>(edges.Length);
        for (int i = 0; i < keys.Length; i++)
        {
            ref LevelEdge edge = ref edges[i];
            edge = new LevelEdge(edge.Y, xs.RankOf(edge.Left), xs.RankOf(edge.Right), edge.Weight);
            keys[i] = (((((ulong)ys.RankOf(edge.Y)) << leftBits) | (uint)edge.Left) << indexBits) | (uint)i;
        }

        PackedSort.Sort(keys, GC.AllocateUninitializedArray<ulong>(keys.Length), indexBits, indexBits + leftBits + levelBits);
        LevelEdge[] sorted = GC.AllocateUninitializedArray<LevelEdge>(keys.Length);
        ulong indexMask = (1UL << indexBits) - 1;
        for (int i = 0; i < sorted.Length; i++)
        {
            sorted[i] = edges[(int)(keys[i] & indexMask)];
        }

        return sorted;

        static int BitsOf(int count) => 32 - System.Numerics.BitOperations.LeadingZeroCount((uint)count);
    }

    private static LevelEdge[] OrderMany(Span<LevelEdge> edges, CoordinateRanks xs)
    {
        var keys = new ulong[edges.Length];
        for (int i = 0; i < keys.Length; i++)
        {
            ref LevelEdge edge = ref edges[i];
            edge = new LevelEdge(edge.Y, xs.RankOf(edge.Left), xs.RankOf(edge.Right), edge.Weight);
            keys[i] = PixelKey.Pack(edge.Left, edge.Y);
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

/// <summary>A horizontal edge between the x coordinates of two ranks, and what crossing it upward adds to the winding number.</summary>
internal readonly record struct LevelEdge(int Y, int Left, int Right, int Weight);
