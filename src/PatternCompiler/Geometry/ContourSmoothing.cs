using PatternCompiler.Limits;

namespace PatternCompiler.Geometry;

/// <summary>
/// Leaves out points of over-sampled curves: every point left out lies within the tolerance of the edge that takes its
/// place, and every point kept stays where it is. A ring that would shrink to less than a triangle is kept as it is.
/// </summary>
internal static class ContourSmoothing
{
    /// <summary>Smooths merged outlines; the result is merged again, so it is valid even where thin parts came to touch.</summary>
    /// <param name="outlines">Outlines, as <see cref="RegionBoolean"/> gives them.</param>
    /// <param name="tolerance">Largest distance in grid steps; 0 changes nothing.</param>
    /// <param name="threads">Threads to use, 0 for all processors.</param>
    /// <param name="limits">How many crossings are allowed; null for the usual limits.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static ContourSet Smooth(ContourSet outlines, double tolerance, int threads = 0, WorkLimits? limits = null, CancellationToken cancellation = default)
    {
        if (!(tolerance > 0))
        {
            return outlines;
        }

        var result = new ContourSetBuilder();
        var kept = new List<GridPoint>();
        for (int r = 0; r < outlines.Count; r++)
        {
            kept.Clear();
            SmoothRing(outlines[r], tolerance, kept);
            result.AddRing(kept.Count < 3 ? outlines[r] : System.Runtime.InteropServices.CollectionsMarshal.AsSpan(kept));
        }

        return RegionBoolean.Merge(result.ToContourSet(), FillRule.Positive, threads, limits, cancellation);
    }

    /// <summary>
    /// From each point kept the next edge reaches as far as it can: while it goes on, the directions in which it would pass
    /// within the tolerance of all points so far narrow down (the cone of Williams, Comput. Graph. Image Process. 8,
    /// 1978), and a point that lies outside of them, or comes back towards the start, ends it.
    /// </summary>
    private static void SmoothRing(ReadOnlySpan<GridPoint> ring, double tolerance, List<GridPoint> kept)
    {
        kept.Add(ring[0]);
        GridPoint anchor = ring[0];
        var cone = new Cone();
        for (int i = 1; i <= ring.Length; i++)
        {
            GridPoint point = ring[i % ring.Length];
            if (!cone.Reaches(anchor, point, tolerance))
            {
                anchor = ring[i - 1];
                kept.Add(anchor);
                cone = new Cone();
                cone.Reaches(anchor, point, tolerance);
            }
        }
    }

    /// <summary>The directions still open, between two unit vectors, and how far the points so far reach.</summary>
    private struct Cone
    {
        private bool isNarrowed;
        private double rightX;
        private double rightY;
        private double leftX;
        private double leftY;
        private double furthest;

        /// <summary>Whether an edge to this point passes all points before; if so, narrows the cone to pass it too.</summary>
        public bool Reaches(GridPoint anchor, GridPoint point, double tolerance)
        {
            double dx = (double)point.X - anchor.X, dy = (double)point.Y - anchor.Y;
            double distance = Math.Sqrt((dx * dx) + (dy * dy));
            if (distance < furthest || (isNarrowed && ((rightX * dy) - (rightY * dx) < 0 || (leftX * dy) - (leftY * dx) > 0)))
            {
                return false;
            }

            furthest = distance;
            if (distance > tolerance)
            {
                // Directions that pass within the tolerance differ from this one by up to asin(tolerance / distance).
                double sin = tolerance / distance, cos = Math.Sqrt(1 - (sin * sin));
                dx /= distance;
                dy /= distance;
                double nextRightX = (dx * cos) + (dy * sin), nextRightY = (dy * cos) - (dx * sin);
                double nextLeftX = (dx * cos) - (dy * sin), nextLeftY = (dy * cos) + (dx * sin);
                if (!isNarrowed || (rightX * nextRightY) - (rightY * nextRightX) > 0)
                {
                    (rightX, rightY) = (nextRightX, nextRightY);
                }

                if (!isNarrowed || (leftX * nextLeftY) - (leftY * nextLeftX) < 0)
                {
                    (leftX, leftY) = (nextLeftX, nextLeftY);
                }

                isNarrowed = true;
            }

            return true;
        }
    }
}
