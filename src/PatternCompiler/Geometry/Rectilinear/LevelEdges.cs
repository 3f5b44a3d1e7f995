using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>
/// The horizontal edges of rectilinear rings, ordered by y, then by left end, with x coordinates replaced by their rank.
/// </summary>
internal sealed class LevelEdges
{
    private readonly GrowingArray<LevelEdge> edges;

    private LevelEdges(int[] xs, GrowingArray<LevelEdge> edges)
    {
        Xs = xs;
        this.edges = edges;
    }

    /// <summary>The distinct x coordinates, ascending.</summary>
    public int[] Xs { get; }

    /// <summary>The edges.</summary>
    public ReadOnlySpan<LevelEdge> Edges => edges.Span;

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

        return Rank(edges);
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

    private static LevelEdges Rank(GrowingArray<LevelEdge> edges)
    {
        if (edges.Count == 0)
        {
            return new LevelEdges([], edges);
        }

        int minX = int.MaxValue, maxX = int.MinValue, minY = int.MaxValue, maxY = int.MinValue;
        foreach (ref readonly LevelEdge edge in edges.Span)
        {
            minX = Math.Min(minX, edge.Left);
            maxX = Math.Max(maxX, edge.Right);
            minY = Math.Min(minY, edge.Y);
            maxY = Math.Max(maxY, edge.Y);
        }

        var xs = new CoordinateRanks(minX, maxX, edges.Count * 2);
        var ys = new CoordinateRanks(minY, maxY, edges.Count);
        foreach (ref readonly LevelEdge edge in edges.Span)
        {
            xs.Add(edge.Left);
            xs.Add(edge.Right);
            ys.Add(edge.Y);
        }

        xs.Complete();
        ys.Complete();
        Order(edges.Span, xs, ys);
        return new LevelEdges(xs.ToArray(), edges);
    }

    /// <summary>Replaces x coordinates by their ranks and orders the edges. Ranks are small, so that few digits are sorted.</summary>
    private static void Order(Span<LevelEdge> edges, CoordinateRanks xs, CoordinateRanks ys)
    {
        int indexBits = BitsOf(edges.Length), leftBits = BitsOf(xs.Count), levelBits = BitsOf(ys.Count);
        bool arePacked = indexBits + leftBits + levelBits <= 64;
        ulong[] keys = GC.AllocateUninitializedArray<ulong>(edges.Length);
        for (int i = 0; i < keys.Length; i++)
        {
            ref LevelEdge edge = ref edges[i];
            edge = new LevelEdge(edge.Y, xs.RankOf(edge.Left), xs.RankOf(edge.Right), edge.Weight);
            keys[i] = arePacked
                ? (((((ulong)ys.RankOf(edge.Y)) << leftBits) | (uint)edge.Left) << indexBits) | (uint)i
                : PixelKey.Pack(edge.Left, edge.Y);
        }

        if (arePacked)
        {
            PackedSort.Sort(keys, GC.AllocateUninitializedArray<ulong>(keys.Length), indexBits, indexBits + leftBits + levelBits);
            ulong indexMask = (1UL << indexBits) - 1;
            foreach (ref ulong key in keys.AsSpan())
            {
                key &= indexMask;
            }
        }
        else
        {
            // Beyond a million different coordinates.
            int place = 0;
            foreach (int index in new RadixSort().Order(keys))
            {
                keys[place++] = (uint)index;
            }
        }

        Bring(edges, keys);

        static int BitsOf(int count) => 32 - System.Numerics.BitOperations.LeadingZeroCount((uint)count);
    }

    /// <summary>Brings to each place the edge from the place that is named for it, in the memory that they have: in rings of places.</summary>
    private static void Bring(Span<LevelEdge> edges, Span<ulong> from)
    {
        const ulong Brought = ulong.MaxValue;
        for (int first = 0; first < from.Length; first++)
        {
            if (from[first] == Brought)
            {
                continue;
            }

            LevelEdge held = edges[first];
            int place = first;
            while ((int)from[place] != first)
            {
                int next = (int)from[place];
                edges[place] = edges[next];
                from[place] = Brought;
                place = next;
            }

            edges[place] = held;
            from[place] = Brought;
        }
    }
}

/// <summary>A horizontal edge between the x coordinates of two ranks, and what crossing it upward adds to the winding number.</summary>
internal readonly record struct LevelEdge(int Y, int Left, int Right, int Weight);
