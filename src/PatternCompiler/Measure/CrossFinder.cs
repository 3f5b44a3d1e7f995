using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Measure.Edges;

namespace PatternCompiler.Measure;

/// <summary>Middles of crosses: outlines of twelve corners that are the same after a quarter turn. All their edges count.</summary>
internal static class CrossFinder
{
    private const int Corners = 12;
    private const int FewestEdges = 4;

    /// <summary>All crosses of which enough edges were found, from the top down and left to right.</summary>
    public static ImmutableArray<MeasuredCross> Find(ContourSet outlines, long gridPicometres, DrawnOutlines drawn, IEnumerable<MeasuredEdge> edges)
    {
        double scale = gridPicometres * 1e-3;
        var crosses = new List<MeasuredCross>();
        foreach (IGrouping<int, MeasuredEdge> ring in edges.Where(edge => edge.IsFound).GroupBy(edge => drawn.Stretches[edge.Strip.Stretch].Ring))
        {
            if (outlines[ring.Key].Length == Corners && MiddleOf(outlines[ring.Key]) is var (x, y) && Fit([.. ring], x * scale, y * scale) is { } cross)
            {
                crosses.Add(cross);
            }
        }

        return [.. crosses.OrderByDescending(cross => cross.YNanometres).ThenBy(cross => cross.XNanometres)];
    }

    // Twice the middle is a whole number of steps; a quarter turn about it maps every corner on another.
    private static (double X, double Y)? MiddleOf(ReadOnlySpan<GridPoint> ring)
    {
        GridBox box = GridBox.Around(ring);
        (long x, long y) = ((long)box.XLeft + box.XRight, (long)box.YBottom + box.YTop);
        var corners = new HashSet<(long, long)>();
        foreach (GridPoint point in ring)
        {
            corners.Add((2L * point.X - x, 2L * point.Y - y));
        }

        foreach ((long cornerX, long cornerY) in corners)
        {
            if (!corners.Contains((-cornerY, cornerX)))
            {
                return null;
            }
        }

        return (x / 2.0, y / 2.0);
    }

    private static MeasuredCross? Fit(MeasuredEdge[] edges, double x, double y) =>
        edges.Length >= FewestEdges && ShapeShift.Of(edges) is { } shift ? new MeasuredCross(x, y, x + shift.X, y + shift.Y, shift.ErrorX, shift.ErrorY) : null;
}
