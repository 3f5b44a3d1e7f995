using PatternCompiler.Geometry;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>
/// An outer ring and its holes as one ring: it runs along a bridge from a corner into each hole, around it, and back along the
/// same bridge. The two ways cancel, so that exactly the same points are covered, and no corner moves.
/// </summary>
/// <remarks>
/// The bridge from a hole's leftmost corner ends in a corner that it can be seen from, after D. Eberly, "Triangulation by ear
/// clipping" (2002), section 3, mirrored: the first edge that a ray to the left meets, and of all corners within the triangle
/// of the ray and the end of that edge, the one closest to the ray.
/// </remarks>
internal static class KeyholeRing
{
    /// <summary>Joins a part.</summary>
    /// <param name="part">An outer ring and then its holes, as <see cref="AreaParts"/> gives them.</param>
    public static GridPoint[] Of(ContourSet part)
    {
        var ring = new List<GridPoint>(part.PointCount + (2 * part.Count));
        ring.AddRange(part[0]);
        foreach ((int hole, int start) in Enumerable.Range(1, part.Count - 1).Select(hole => (hole, Leftmost(part[hole])))
            .OrderBy(h => part[h.hole][h.Item2].X).ThenBy(h => part[h.hole][h.Item2].Y))
        {
            ReadOnlySpan<GridPoint> corners = part[hole];
            int bridge = VisibleFrom(ring, corners[start]);
            GridPoint end = ring[bridge];
            ring.InsertRange(bridge + 1, [.. corners[start..], .. corners[..start], corners[start], end]);
        }

        return [.. ring];
    }

    private static int Leftmost(ReadOnlySpan<GridPoint> ring)
    {
        int best = 0;
        for (int i = 1; i < ring.Length; i++)
        {
            best = ring[i].X < ring[best].X || (ring[i].X == ring[best].X && ring[i].Y < ring[best].Y) ? i : best;
        }

        return best;
    }

    private static int VisibleFrom(List<GridPoint> ring, GridPoint eye)
    {
        // The ray runs just above the corner's height: it meets no corner, and edges at that height count as below it.
        int nearest = -1;
        for (int i = 0; i < ring.Count; i++)
        {
            (GridPoint lower, GridPoint upper) = EdgeUpward(ring, i);
            if (lower.Y <= eye.Y && upper.Y > eye.Y && Side(lower, upper, eye) <= 0 && (nearest < 0 || IsRightOf(ring, i, nearest, eye.Y)))
            {
                nearest = i;
            }
        }

        if (nearest < 0)
        {
            // Only a hole outside its outer ring gets here; any bridge covers the same.
            return 0;
        }

        int next = (nearest + 1) % ring.Count;
        int best = ring[nearest].X < ring[next].X ? nearest : next;
        GridPoint end = ring[best];
        (GridPoint from, GridPoint to) = EdgeUpward(ring, nearest);
        bool isAbove = end.Y > eye.Y;
        for (int i = 0; i < ring.Count; i++)
        {
            GridPoint corner = ring[i];
            bool isInside = corner.X < eye.X && corner.Y > eye.Y == isAbove && Side(from, to, corner) <= 0
                && (isAbove ? Side(eye, end, corner) >= 0 : Side(eye, end, corner) <= 0);
            if (isInside && IsCloserToRay(corner, ring[best], eye))
            {
                best = i;
            }
        }

        return best;
    }

    private static (GridPoint Lower, GridPoint Upper) EdgeUpward(List<GridPoint> ring, int index)
    {
        GridPoint a = ring[index];
        GridPoint b = ring[(index + 1) % ring.Count];
        return a.Y <= b.Y ? (a, b) : (b, a);
    }

    // Just above a height that both edges reach.
    private static bool IsRightOf(List<GridPoint> ring, int index, int other, int y)
    {
        (GridPoint lower, GridPoint upper) = EdgeUpward(ring, index);
        (GridPoint otherLower, GridPoint otherUpper) = EdgeUpward(ring, other);
        Int128 height = (long)upper.Y - lower.Y;
        Int128 otherHeight = (long)otherUpper.Y - otherLower.Y;
        Int128 run = (long)upper.X - lower.X;
        Int128 otherRun = (long)otherUpper.X - otherLower.X;
        Int128 place = ((lower.X * height) + (run * ((long)y - lower.Y))) * otherHeight;
        Int128 otherPlace = ((otherLower.X * otherHeight) + (otherRun * ((long)y - otherLower.Y))) * height;
        return place != otherPlace ? place > otherPlace : run * otherHeight > otherRun * height;
    }

    private static bool IsCloserToRay(GridPoint corner, GridPoint other, GridPoint eye)
    {
        Int128 across = Math.Abs((long)corner.Y - eye.Y);
        Int128 otherAcross = Math.Abs((long)other.Y - eye.Y);
        Int128 along = (long)eye.X - corner.X;
        Int128 otherAlong = (long)eye.X - other.X;
        Int128 difference = (across * otherAlong) - (otherAcross * along);
        return difference < 0 || (difference == 0 && along < otherAlong);
    }

    // Above zero if the point lies to the left of the way from a to b.
    private static int Side(GridPoint a, GridPoint b, GridPoint point) => Int128.Sign(
        ((Int128)((long)b.X - a.X) * ((long)point.Y - a.Y)) - ((Int128)((long)b.Y - a.Y) * ((long)point.X - a.X)));
}
