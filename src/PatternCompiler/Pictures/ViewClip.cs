namespace PatternCompiler.Pictures;

/// <summary>
/// Cuts shapes to a rectangle a little larger than the view, so that a picture of a small window holds no coordinates
/// far outside it. Rings by the method of Sutherland and Hodgman (1974), segments by that of Liang and Barsky (1984).
/// </summary>
internal sealed class ViewClip(SceneExtent bounds)
{
    private List<ScenePoint> current = [];
    private List<ScenePoint> next = [];

    /// <summary>The part of a ring inside the bounds; valid until the next call. Winding numbers inside are kept.</summary>
    public IReadOnlyList<ScenePoint> ClipRing(ReadOnlySpan<ScenePoint> ring)
    {
        current.Clear();
        current.AddRange(ring);
        for (int side = 0; side < 4 && current.Count > 0; side++)
        {
            CutBySide(side);
            (current, next) = (next, current);
        }

        return current;
    }

    /// <summary>Shortens a segment to its part inside; false if there is none.</summary>
    public bool ClipSegment(ref ScenePoint a, ref ScenePoint b)
    {
        double enter = 0;
        double leave = 1;
        double dx = b.X - a.X;
        double dy = b.Y - a.Y;
        if (!Narrow(-dx, a.X - bounds.Left, ref enter, ref leave)
            || !Narrow(dx, bounds.Right - a.X, ref enter, ref leave)
            || !Narrow(-dy, a.Y - bounds.Bottom, ref enter, ref leave)
            || !Narrow(dy, bounds.Top - a.Y, ref enter, ref leave))
        {
            return false;
        }

        ScenePoint start = a;
        a = new ScenePoint(start.X + enter * dx, start.Y + enter * dy);
        b = new ScenePoint(start.X + leave * dx, start.Y + leave * dy);
        return true;
    }

    private static bool Narrow(double outward, double room, ref double enter, ref double leave)
    {
        if (outward == 0)
        {
            return room >= 0;
        }

        double at = room / outward;
        if (outward < 0)
        {
            enter = Math.Max(enter, at);
        }
        else
        {
            leave = Math.Min(leave, at);
        }

        return enter <= leave;
    }

    private void CutBySide(int side)
    {
        next.Clear();
        ScenePoint previous = current[^1];
        double previousDepth = Depth(previous, side);
        foreach (ScenePoint point in current)
        {
            double depth = Depth(point, side);
            if (depth >= 0 != previousDepth >= 0)
            {
                double part = previousDepth / (previousDepth - depth);
                next.Add(new ScenePoint(previous.X + part * (point.X - previous.X), previous.Y + part * (point.Y - previous.Y)));
            }

            if (depth >= 0)
            {
                next.Add(point);
            }

            (previous, previousDepth) = (point, depth);
        }
    }

    private double Depth(ScenePoint point, int side) => side switch
    {
        0 => point.X - bounds.Left,
        1 => bounds.Right - point.X,
        2 => point.Y - bounds.Bottom,
        _ => bounds.Top - point.Y,
    };
}
