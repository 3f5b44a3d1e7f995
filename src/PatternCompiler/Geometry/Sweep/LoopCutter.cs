namespace PatternCompiler.Geometry.Sweep;

/// <summary>
/// Cuts a walk along the border into rings that do not touch themselves: where it comes back to a junction, the loop in
/// between becomes a ring of its own. Since the border never crosses itself these loops are the same wherever the walk
/// begins.
/// </summary>
internal sealed class LoopCutter(int junctions, RingList rings)
{
    private readonly int[] visits = new int[junctions];
    private GrowingArray<PathPoint> path = new(64);

    /// <summary>The walk so far, without the loops that were cut off.</summary>
    public ReadOnlySpan<PathPoint> Path => path.Span;

    /// <summary>Goes on to a point.</summary>
    public void Add(PathPoint point)
    {
        if (point.Junction >= 0)
        {
            int visit = visits[point.Junction];
            if (visit > 0)
            {
                CutLoop(visit - 1);
            }

            visits[point.Junction] = path.Count + 1;
        }

        path.Add(point);
    }

    /// <summary>Ends a walk that is back where it began.</summary>
    public void EndRing() => CutLoop(0);

    /// <summary>Ends a walk that leaves off, and forgets it.</summary>
    public void Abandon() => Forget(0);

    private void CutLoop(int from)
    {
        rings.Add(path.Span[from..]);
        Forget(from);
    }

    private void Forget(int from)
    {
        foreach (PathPoint point in path.Span[from..])
        {
            if (point.Junction >= 0)
            {
                visits[point.Junction] = 0;
            }
        }

        path.Count = from;
    }
}
