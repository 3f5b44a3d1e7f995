using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Places;

/// <summary>How far a point lies from what a shape draws, in grid steps; 0 inside.</summary>
internal static class ShapeDistance
{
    // Of round ends, in grid steps.
    private const double ChordError = 1;

    /// <summary>The distance.</summary>
    public static double Of(Shape shape, PlanePoint point) => shape switch
    {
        RectangleShape r => OfBox(new(r.XLeft, r.YBottom, r.XRight, r.YTop), point),
        CircleShape c => Math.Max(0, (point - PlanePoint.From(c.Centre)).Length - c.Radius),
        RingShape r => OfRing(r, (point - PlanePoint.From(r.Centre)).Length),
        PolygonShape p => OfPolygon(p, point),
        PathShape p => OfPath(p, point),
        LineShape l => OfCourse(l.Points.AsSpan(), point),
        DotShape d => (point - PlanePoint.From(d.Position)).Length,
        _ => double.PositiveInfinity,
    };

    /// <summary>No shape inside the box is nearer than this.</summary>
    public static double OfBox(in LayoutExtent box, PlanePoint point)
    {
        double x = Math.Max(0, Math.Max(box.XMin - point.X, point.X - box.XMax));
        double y = Math.Max(0, Math.Max(box.YMin - point.Y, point.Y - box.YMax));
        return Math.Sqrt((x * x) + (y * y));
    }

    /// <summary>True if a ring winds around a point.</summary>
    public static bool IsInside(ReadOnlySpan<GridPoint> ring, PlanePoint point) => Winding(ring, point) != 0;

    private static double OfRing(RingShape ring, double fromCentre) =>
        fromCentre > ring.OuterRadius ? fromCentre - ring.OuterRadius : fromCentre < ring.InnerRadius ? ring.InnerRadius - fromCentre : 0;

    private static double OfPolygon(PolygonShape polygon, PlanePoint point)
    {
        int winding = 0;
        int crossings = 0;
        double nearest = double.PositiveInfinity;
        for (int i = 0; i < polygon.Contours.Count; i++)
        {
            ReadOnlySpan<GridPoint> ring = polygon.Contours[i];
            int around = Winding(ring, point);
            winding += around;
            crossings += CrossingsLeft(ring, point);
            nearest = Math.Min(nearest, Math.Min(OfCourse(ring, point), OfChord(PlanePoint.From(ring[^1]), PlanePoint.From(ring[0]), point)));
        }

        bool isInside = polygon.FillRule switch
        {
            FillRule.EvenOdd => (crossings & 1) != 0,
            FillRule.Positive => winding > 0,
            _ => winding != 0,
        };
        return isInside ? 0 : nearest;
    }

    private static double OfPath(PathShape path, PlanePoint point)
    {
        StrokeEnd end = path.End switch { PathEnd.Square => StrokeEnd.Square, PathEnd.Round => StrokeEnd.Round, _ => StrokeEnd.Flat };
        PlanePoint[] course = [.. path.Points.Select(PlanePoint.From)];
        double nearest = double.PositiveInfinity;
        int winding = 0;
        foreach (List<PlanePoint> ring in PathOutline.Of(course, new StrokeStyle(path.Width, end), ChordError))
        {
            for (int i = 0; i < ring.Count; i++)
            {
                PlanePoint a = ring[i];
                PlanePoint b = ring[(i + 1) % ring.Count];
                winding += Turn(a, b, point);
                nearest = Math.Min(nearest, OfChord(a, b, point));
            }
        }

        return winding != 0 ? 0 : nearest;
    }

    private static double OfCourse(ReadOnlySpan<GridPoint> points, PlanePoint point)
    {
        double nearest = double.PositiveInfinity;
        for (int i = 1; i < points.Length; i++)
        {
            nearest = Math.Min(nearest, OfChord(PlanePoint.From(points[i - 1]), PlanePoint.From(points[i]), point));
        }

        return nearest;
    }

    private static double OfChord(PlanePoint a, PlanePoint b, PlanePoint point)
    {
        PlanePoint along = b - a;
        PlanePoint to = point - a;
        double square = (along.X * along.X) + (along.Y * along.Y);
        double part = square == 0 ? 0 : Math.Clamp(((to.X * along.X) + (to.Y * along.Y)) / square, 0, 1);
        return (to - (part * along)).Length;
    }

    private static int Winding(ReadOnlySpan<GridPoint> ring, PlanePoint point)
    {
        int winding = 0;
        PlanePoint last = PlanePoint.From(ring[^1]);
        foreach (GridPoint corner in ring)
        {
            PlanePoint next = PlanePoint.From(corner);
            winding += Turn(last, next, point);
            last = next;
        }

        return winding;
    }

    private static int CrossingsLeft(ReadOnlySpan<GridPoint> ring, PlanePoint point)
    {
        int crossings = 0;
        PlanePoint last = PlanePoint.From(ring[^1]);
        foreach (GridPoint corner in ring)
        {
            PlanePoint next = PlanePoint.From(corner);
            crossings += Math.Abs(Turn(last, next, point));
            last = next;
        }

        return crossings;
    }

    // Whether an edge crosses the ray from the point to the right: upward 1, downward -1.
    private static int Turn(PlanePoint a, PlanePoint b, PlanePoint point)
    {
        if (a.Y <= point.Y == b.Y <= point.Y)
        {
            return 0;
        }

        double side = ((b.X - a.X) * (point.Y - a.Y)) - ((point.X - a.X) * (b.Y - a.Y));
        return b.Y > a.Y ? (side > 0 ? 1 : 0) : (side < 0 ? -1 : 0);
    }
}
