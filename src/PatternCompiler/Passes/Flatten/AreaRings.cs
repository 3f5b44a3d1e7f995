using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;

namespace PatternCompiler.Passes.Flatten;

/// <summary>
/// Brings the rings of one shape into a form in which shapes can be thrown together under the nonzero rule: no point has
/// a negative winding number, so that no shape can cancel another.
/// </summary>
internal static class AreaRings
{
    /// <summary>Rings that cover what the shape covers by its own rule.</summary>
    public static ContourSet Normalise(ContourSet rings, FillRule rule, WorkLimits limits, CancellationToken cancellation)
    {
        if (rings.Count == 1 && rule != FillRule.Positive && IsConvex(rings[0], out bool isClockwise))
        {
            return isClockwise ? Reversed(rings) : rings;
        }

        return RegionBoolean.Merge(rings, rule, threads: 1, limits, cancellation);
    }

    /// <summary>
    /// True if a ring turns one way only, once around. Then it cannot cross itself. A ring that turns back on itself is
    /// not counted as convex.
    /// </summary>
    private static bool IsConvex(ReadOnlySpan<GridPoint> ring, out bool isClockwise)
    {
        isClockwise = false;
        if (ring.Length < 3)
        {
            return false;
        }

        int sign = 0;
        int xChanges = 0;
        int lastX = 0;
        int firstX = 0;
        for (int i = 0; i < ring.Length; i++)
        {
            GridPoint a = ring[i];
            GridPoint b = ring[(i + 1) % ring.Length];
            GridPoint c = ring[(i + 2) % ring.Length];
            int turn = Math.Sign(Cross(a, b, c));
            if (turn == 0 || turn == -sign)
            {
                return false;
            }

            sign = turn;

            // A ring that turns once around goes to the right once and to the left once.
            int directionX = Math.Sign(b.X.CompareTo(a.X));
            if (directionX != 0)
            {
                xChanges += lastX != 0 && directionX != lastX ? 1 : 0;
                firstX = firstX == 0 ? directionX : firstX;
                lastX = directionX;
            }
        }

        xChanges += lastX != firstX ? 1 : 0;
        isClockwise = sign < 0;
        return xChanges == 2;
    }

    private static long Cross(GridPoint a, GridPoint b, GridPoint c)
    {
        long abX = (long)b.X - a.X;
        long abY = (long)b.Y - a.Y;
        long bcX = (long)c.X - b.X;
        long bcY = (long)c.Y - b.Y;
        return (abX * bcY) - (abY * bcX);
    }

    private static ContourSet Reversed(ContourSet rings)
    {
        var builder = new ContourSetBuilder();
        ReadOnlySpan<GridPoint> ring = rings[0];
        for (int i = ring.Length - 1; i >= 0; i--)
        {
            builder.Add(ring[i]);
        }

        return builder.ToContourSet();
    }
}
