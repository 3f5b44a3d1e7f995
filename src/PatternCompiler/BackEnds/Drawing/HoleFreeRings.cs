using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>Areas as single rings, for formats whose polygons have no holes and only so many points.</summary>
internal static class HoleFreeRings
{
    /// <summary>
    /// Rings that together cover a polygon by any fill rule: one for each of its parts, with its holes on bridges, where that has
    /// few enough points, else trapezoids. A corner that a cut makes on an edge is rounded to the grid, the same for both sides of the cut.
    /// </summary>
    /// <param name="polygon">The polygon.</param>
    /// <param name="mostPoints">Most points that a ring may have.</param>
    /// <param name="limits">How many crossings are allowed.</param>
    /// <param name="wasCut">True if something was cut.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static List<GridPoint[]> Of(PolygonShape polygon, int mostPoints, WorkLimits limits, out bool wasCut, CancellationToken cancellation)
    {
        wasCut = false;
        if (polygon.Contours.PointCount <= mostPoints && IsRing(polygon))
        {
            return [polygon.Contours[0].ToArray()];
        }

        var rings = new List<GridPoint[]>();
        foreach (ContourSet part in AreaParts.Split(RegionBoolean.Merge(polygon.Contours, polygon.FillRule, 1, limits, cancellation)))
        {
            if (part.PointCount + (2 * (part.Count - 1)) <= mostPoints)
            {
                rings.Add(KeyholeRing.Of(part));
            }
            else
            {
                wasCut = true;
                AddTrapezoids(rings, part, limits, cancellation);
            }
        }

        return rings;
    }

    /// <summary>
    /// True if a polygon is one ring that covers the same by the even-odd and the nonzero rule. By the rule that counts
    /// positive windings alone a ring that runs clockwise would cover nothing.
    /// </summary>
    public static bool IsRing(PolygonShape polygon) =>
        polygon.Contours.Count == 1 && polygon.FillRule != FillRule.Positive && RingSimplicity.IsSimple(polygon.Contours[0]);

    private static void AddTrapezoids(List<GridPoint[]> rings, ContourSet part, WorkLimits limits, CancellationToken cancellation)
    {
        foreach (Trapezoid trapezoid in TrapezoidDecomposition.Compute(part, FillRule.NonZero, 1, limits, cancellation))
        {
            GridPoint[] corners =
            [
                At(trapezoid.Left, trapezoid.YBottom),
                At(trapezoid.Right, trapezoid.YBottom),
                At(trapezoid.Right, trapezoid.YTop),
                At(trapezoid.Left, trapezoid.YTop),
            ];
            GridPoint[] ring = [.. corners.Where((p, i) => p != corners[(i + 1) % corners.Length])];
            if (ring.Length >= 3)
            {
                rings.Add(ring);
            }
        }
    }

    private static GridPoint At(GridEdge edge, int y)
    {
        Int128 height = (long)edge.Upper.Y - edge.Lower.Y;
        Int128 doubled = 2 * (Int128)((long)edge.Upper.X - edge.Lower.X) * ((long)y - edge.Lower.Y);

        // Nearest grid step, halves upward: floor((2n + d) / 2d).
        (Int128 quotient, Int128 rest) = Int128.DivRem(doubled + height, 2 * height);
        return new((int)(edge.Lower.X + (rest < 0 ? quotient - 1 : quotient)), y);
    }
}
