namespace PatternCompiler.Geometry.Sweep;

/// <summary>Finished rings, their points one after the other. Each begins at its lowest (then leftmost) point.</summary>
internal sealed class RingList(int capacity)
{
    private GrowingArray<GridPoint> points = new(Math.Max(capacity, 4));
    private GrowingArray<OutlineRing> rings = new(64);
    private bool cameInOrder = true;
    private bool isSorted;

    /// <summary>The rings; in order after <see cref="Sort"/>.</summary>
    public ReadOnlySpan<OutlineRing> Rings => rings.Span;

    /// <summary>Number of points in all rings together.</summary>
    public int PointCount => points.Count;

    /// <summary>The points of a ring.</summary>
    public ReadOnlySpan<GridPoint> Points(in OutlineRing ring) => points.Items.AsSpan(ring.Start, ring.Length);

    /// <summary>Adds a ring. If the border touches itself in one of its points, some may lie in the middle of a straight line: these are dropped.</summary>
    public void Add(ReadOnlySpan<PathPoint> path)
    {
        int start = points.Count;
        points.Reserve(start + path.Length);
        points.Count += path.Length;
        Span<GridPoint> ring = points.Items.AsSpan(start, path.Length);
        int lowest = 0;
        bool touches = false;
        for (int i = 0; i < path.Length; i++)
        {
            GridPoint point = path[i].Point;
            GridPoint low = path[lowest].Point;
            lowest = point.Y < low.Y || (point.Y == low.Y && point.X < low.X) ? i : lowest;
            touches |= path[i].Junction >= 0;
            ring[i] = point;
        }

        Rotate(ring, lowest);
        if (touches)
        {
            ring = ring[..DropCollinear(ring)];
            points.Count = start + ring.Length;
        }

        var added = new OutlineRing(start, ring.Length, ring[0], ring[1]);
        cameInOrder &= rings.Count == 0 || rings.Items[rings.Count - 1].CompareTo(added) <= 0;
        rings.Add(added);
    }

    /// <summary>Orders the rings; their points stay where they are.</summary>
    public void Sort()
    {
        if (cameInOrder || isSorted)
        {
            return;
        }

        ulong[] keys = GC.AllocateUninitializedArray<ulong>(rings.Count);
        for (int i = 0; i < keys.Length; i++)
        {
            keys[i] = PixelKey.Pack(rings.Items[i].First.X, rings.Items[i].First.Y);
        }

        ReadOnlySpan<int> order = new RadixSort().Order(keys);
        OutlineRing[] sorted = GC.AllocateUninitializedArray<OutlineRing>(keys.Length);
        for (int i = 0; i < sorted.Length; i++)
        {
            // Rings that begin at the same point are few: insertion orders them.
            OutlineRing ring = rings.Items[order[i]];
            int at = i;
            for (; at > 0 && sorted[at - 1].CompareTo(ring) > 0; at--)
            {
                sorted[at] = sorted[at - 1];
            }

            sorted[at] = ring;
        }

        rings.Items = sorted;
        isSorted = true;
    }

    /// <summary>The rings in order.</summary>
    public ContourSet ToContourSet()
    {
        if (rings.Count == 0)
        {
            return ContourSet.Empty;
        }

        Sort();
        var ends = new int[rings.Count];
        if (cameInOrder)
        {
            for (int i = 0; i < ends.Length; i++)
            {
                ends[i] = rings.Items[i].Start + rings.Items[i].Length;
            }

            return new ContourSet(points.Count == points.Items.Length ? points.Items : points.ToArray(), ends);
        }

        GridPoint[] ordered = GC.AllocateUninitializedArray<GridPoint>(points.Count);
        int count = 0;
        for (int i = 0; i < ends.Length; i++)
        {
            Points(rings.Items[i]).CopyTo(ordered.AsSpan(count));
            count += rings.Items[i].Length;
            ends[i] = count;
        }

        return new ContourSet(ordered, ends);
    }

    private static void Rotate(Span<GridPoint> ring, int by)
    {
        if (by != 0)
        {
            ring[..by].Reverse();
            ring[by..].Reverse();
            ring.Reverse();
        }
    }

    /// <summary>
    /// Drops points in the middle of a straight line, which occur where another part of the border touches one. The
    /// lowest point, which comes first, is always a corner.
    /// </summary>
    private static int DropCollinear(Span<GridPoint> ring)
    {
        int kept = 1;
        for (int i = 1; i < ring.Length; i++)
        {
            GridPoint before = ring[kept - 1], at = ring[i], after = ring[i + 1 == ring.Length ? 0 : i + 1];
            if (((long)at.X - before.X) * ((long)after.Y - at.Y) != ((long)at.Y - before.Y) * ((long)after.X - at.X))
            {
                ring[kept++] = at;
            }
        }

        return kept;
    }
}

/// <summary>A point that a walk along the border passes, and the number of the junction that it is, or -1.</summary>
internal readonly record struct PathPoint(GridPoint Point, int Junction);

/// <summary>One ring of a <see cref="RingList"/>; rings are ordered by their first, then by their second point.</summary>
internal readonly record struct OutlineRing(int Start, int Length, GridPoint First, GridPoint Second) : IComparable<OutlineRing>
{
    public int CompareTo(OutlineRing other)
    {
        int order = Compare(First, other.First);
        return order != 0 ? order : Compare(Second, other.Second);
    }

    private static int Compare(GridPoint a, GridPoint b) => a.Y != b.Y ? a.Y.CompareTo(b.Y) : a.X.CompareTo(b.X);
}
