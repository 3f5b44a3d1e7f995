using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>Tells in which ring points lie.</summary>
internal static class RingLocator
{
    /// <summary>The innermost ring around each point, −1 where there is none; rings must not cross. A point on a ring may count either way.</summary>
    public static int[] Innermost(ContourSet rings, ReadOnlySpan<GridPoint> points)
    {
        var found = new int[points.Length];
        var areas = new Int128[points.Length];
        Array.Fill(found, -1);
        for (int i = 0; i < rings.Count; i++)
        {
            ReadOnlySpan<GridPoint> ring = rings[i];
            GridBox box = GridBox.Around(ring);
            Int128 area = Int128.Abs(ExactArea.Twice(ring));
            for (int p = 0; p < points.Length; p++)
            {
                GridPoint point = points[p];
                if (point.X >= box.XLeft && point.X <= box.XRight && point.Y >= box.YBottom && point.Y <= box.YTop
                    && (found[p] < 0 || area < areas[p]) && IsInside(ring, point))
                {
                    (found[p], areas[p]) = (i, area);
                }
            }
        }

        return found;
    }

    private static bool IsInside(ReadOnlySpan<GridPoint> ring, GridPoint point)
    {
        bool isInside = false;
        GridPoint a = ring[^1];
        foreach (GridPoint b in ring)
        {
            if (a.Y > point.Y != b.Y > point.Y)
            {
                long side = ((long)b.X - a.X) * ((long)point.Y - a.Y) - ((long)point.X - a.X) * ((long)b.Y - a.Y);
                isInside ^= b.Y > a.Y ? side > 0 : side < 0;
            }

            a = b;
        }

        return isInside;
    }
}
