using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>
/// Paths of which every reader of a drawing makes the same area. Formats do not say how a path is joined in a sharp corner,
/// how round its round ends are, or what becomes of a path that overlaps itself: such paths are written as areas.
/// </summary>
internal static class CommonPath
{
    private const double AnyChordError = 1;

    /// <summary>
    /// True if a path has flat or square ends, turns by a right angle at most, has room for its joins in each of its lines, an
    /// even width, and an outline that does not meet itself.
    /// </summary>
    public static bool Is(PathShape path)
    {
        if (path.End == PathEnd.Round || (path.Width & 1) != 0)
        {
            return false;
        }

        ImmutableArray<GridPoint> points = path.Points;
        for (int i = 1; i < points.Length; i++)
        {
            // A turn of a right angle takes half the width of both lines.
            int joins = (i > 1 ? 1 : 0) + (i + 1 < points.Length ? 1 : 0);
            double x = (double)points[i].X - points[i - 1].X;
            double y = (double)points[i].Y - points[i - 1].Y;
            if (Math.Sqrt((x * x) + (y * y)) <= joins * path.Width / 2.0 || (i + 1 < points.Length && TurnsBack(points[i - 1], points[i], points[i + 1])))
            {
                return false;
            }
        }

        PlanePoint[] course = [.. points.Select(PlanePoint.From)];
        StrokeEnd end = path.End == PathEnd.Square ? StrokeEnd.Square : StrokeEnd.Flat;
        return PathOutline.Of(course, new StrokeStyle(path.Width, end), AnyChordError) is [var outline]
            && outline.TrueForAll(p => p.FitsGrid && p.ToGrid().IsInRange)
            && RingSimplicity.IsSimple([.. outline.Select(p => p.ToGrid())]);
    }

    private static bool TurnsBack(GridPoint before, GridPoint corner, GridPoint after) =>
        (((long)corner.X - before.X) * ((long)after.X - corner.X)) + (((long)corner.Y - before.Y) * ((long)after.Y - corner.Y)) < 0;
}
