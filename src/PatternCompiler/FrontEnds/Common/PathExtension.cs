using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Common;

/// <summary>Lengthens a path at its ends, or shortens it, each end along its own last line.</summary>
internal static class PathExtension
{
    /// <summary>Moves both ends; false if nothing is left of the path, or an end comes to lie beyond the grid.</summary>
    /// <param name="points">The path: two points or more, each distinct from the one before.</param>
    /// <param name="start">Length that the start is moved outward, in grid steps.</param>
    /// <param name="end">Length that the end is moved outward, in grid steps.</param>
    /// <param name="isOnGrid">False if an end comes to lie beyond the grid.</param>
    public static bool TryExtend(ImmutableArray<GridPoint>.Builder points, double start, double end, out bool isOnGrid)
    {
        // Both directions are those of the path as drawn: in a path of one line they are told from the same two points.
        PlanePoint direction = PlanePoint.From(points[1]) - PlanePoint.From(points[0]);
        PlanePoint first = Moved(points[1], points[0], start);
        PlanePoint last = Moved(points[^2], points[^1], end);
        isOnGrid = first.FitsGrid && last.FitsGrid;
        if (!isOnGrid)
        {
            return false;
        }

        (points[0], points[^1]) = (first.ToGrid(), last.ToGrid());
        PlanePoint left = PlanePoint.From(points[1]) - PlanePoint.From(points[0]);
        return points.Count > 2 || (left.X * direction.X) + (left.Y * direction.Y) > 0;
    }

    private static PlanePoint Moved(GridPoint from, GridPoint to, double length)
    {
        PlanePoint direction = PlanePoint.From(to) - PlanePoint.From(from);
        return PlanePoint.From(to) + (length / direction.Length * direction);
    }
}
