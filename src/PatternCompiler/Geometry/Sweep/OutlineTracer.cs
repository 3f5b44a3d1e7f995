namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Follows border edges into rings. Where a ring comes back to a vertex it has visited, the loop in between becomes a ring
/// of its own, so that no ring touches itself. Rings start at their lowest (then leftmost) vertex and are ordered by it.
/// </summary>
internal sealed class OutlineTracer
{
    private const int None = -1;

    private GrowingArray<GridPoint> points;
    private GrowingArray<Ring> rings = new(64);

    private OutlineTracer(int edges)
    {
        points = new GrowingArray<GridPoint>(Math.Max(edges, 4));
    }

    public static ContourSet Trace(ReadOnlySpan<BorderEdge> borders, int junctions)
    {
        if (borders.Length == 0)
        {
            return ContourSet.Empty;
        }

        var tracer = new OutlineTracer(borders.Length);
        tracer.TraceRings(borders, junctions);
        return tracer.Collect();
    }

    private void TraceRings(ReadOnlySpan<BorderEdge> borders, int junctions)
    {
        var done = new bool[borders.Length];
        var visits = new int[junctions];
        Array.Fill(visits, None);
        var path = new GrowingArray<int>(64);
        for (int first = 0; first < borders.Length; first++)
        {
            if (done[first])
            {
                continue;
            }

            path.Count = 0;
            int edge = first;
            do
            {
                done[edge] = true;
                int junction = borders[edge].Junction;
                if (junction != None)
                {
                    if (visits[junction] != None)
                    {
                        CutLoop(borders, ref path, visits, visits[junction]);
                    }

                    visits[junction] = path.Count;
                }

                path.Add(edge);
                edge = borders[edge].Follower;
            }
            while (edge != first);

            CutLoop(borders, ref path, visits, 0);
        }
    }

    /// <summary>Makes a ring of the path's end and takes it off the path.</summary>
    private void CutLoop(ReadOnlySpan<BorderEdge> borders, ref GrowingArray<int> path, int[] visits, int from)
    {
        int start = points.Count;
        int lowest = start;
        bool touches = false;
        for (int i = from; i < path.Count; i++)
        {
            ref readonly BorderEdge edge = ref borders[path.Items[i]];
            if (edge.Junction != None)
            {
                visits[edge.Junction] = None;
            }

            touches |= edge.Junction != None;
            GridPoint point = edge.Start;
            GridPoint low = points.Count == start ? point : points.Items[lowest];
            if (point.Y < low.Y || (point.Y == low.Y && point.X < low.X))
            {
                lowest = points.Count;
            }

            points.Add(point);
        }

        path.Count = from;
        Span<GridPoint> ring = points.Span[start..];
        Rotate(ring, lowest - start);
        if (touches)
        {
            ring = ring[..DropCollinear(ring)];
            points.Count = start + ring.Length;
        }

        rings.Add(new Ring(start, ring.Length, ring[0], ring[1]));
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

    private ContourSet Collect()
    {
        bool ordered = true;
        for (int i = 1; i < rings.Count && ordered; i++)
        {
            ordered = rings.Items[i - 1].CompareTo(rings.Items[i]) <= 0;
        }

        var ends = new int[rings.Count];
        if (ordered)
        {
            for (int i = 0; i < ends.Length; i++)
            {
                ends[i] = rings.Items[i].Start + rings.Items[i].Length;
            }

            return new ContourSet(points.Count == points.Items.Length ? points.Items : points.ToArray(), ends);
        }

        rings.Span.Sort();
        GridPoint[] sorted = GC.AllocateUninitializedArray<GridPoint>(points.Count);
        int count = 0;
        for (int i = 0; i < ends.Length; i++)
        {
            Ring ring = rings.Items[i];
            points.Span.Slice(ring.Start, ring.Length).CopyTo(sorted.AsSpan(count));
            count += ring.Length;
            ends[i] = count;
        }

        return new ContourSet(sorted, ends);
    }

    private readonly record struct Ring(int Start, int Length, GridPoint First, GridPoint Second) : IComparable<Ring>
    {
        public int CompareTo(Ring other)
        {
            int order = Compare(First, other.First);
            return order != 0 ? order : Compare(Second, other.Second);
        }

        private static int Compare(GridPoint a, GridPoint b) => a.Y != b.Y ? a.Y.CompareTo(b.Y) : a.X.CompareTo(b.X);
    }
}
