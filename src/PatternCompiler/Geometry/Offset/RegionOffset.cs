using PatternCompiler.Limits;

namespace PatternCompiler.Geometry.Offset;

/// <summary>
/// Grows or shrinks an area by a distance. Every edge of the outline sweeps a rectangle, every corner that the outline
/// turns around on the outside a join; added to the area (or taken from it) they leave what is within the distance.
/// In winding numbers that is one closed curve for each ring and the positive rule, so parts that vanish, split, merge or
/// close come out right without special cases.
/// </summary>
/// <remarks>
/// A polygonised curve has corners that turn the wrong way by a hair where its points were rounded to the grid. As long
/// as the rectangles of the two edges overlap by less than their own length the outline there is the one point where
/// the moved edges meet, so that neither spikes nor extra points arise from such corners.
/// </remarks>
internal static class RegionOffset
{
    /// <summary>Moves the outline of an area outward (or inward, for a negative distance).</summary>
    /// <param name="outlines">Merged outlines, as <see cref="RegionBoolean"/> gives them.</param>
    /// <param name="distance">Distance in grid steps.</param>
    /// <param name="shape">Shape of corners.</param>
    /// <param name="threads">Threads to use, 0 for all processors.</param>
    /// <param name="limits">How many points about corners and crossings are allowed; null for the usual limits.</param>
    /// <param name="cancellation">Ends the work early.</param>
    /// <exception cref="ArgumentOutOfRangeException">The result would leave the coordinate range.</exception>
    public static ContourSet Compute(
        ContourSet outlines,
        double distance,
        OffsetShape shape,
        int threads = 0,
        WorkLimits? limits = null,
        CancellationToken cancellation = default)
    {
        if (distance == 0)
        {
            return outlines;
        }

        if (distance < -GridPoint.Limit)
        {
            // Nothing within the coordinate range is wider than twice its limit.
            return ContourSet.Empty;
        }

        if (outlines.Count > 0)
        {
            RequireWithinRange(distance);
        }

        var curve = new OffsetCurve(distance, shape, (limits ?? WorkLimits.Usual).Meter(WorkKind.Corners, outlines.PointCount));
        for (int i = 0; i < outlines.Count; i++)
        {
            curve.AddRing(outlines[i]);
        }

        return RegionBoolean.Merge(curve.ToContourSet(), FillRule.Positive, threads, limits, cancellation);
    }

    /// <summary>The area within a distance of an open path.</summary>
    /// <param name="path">Points of the path.</param>
    /// <param name="distance">Half the width of the result, in grid steps, above zero.</param>
    /// <param name="shape">Shape of corners.</param>
    /// <param name="cap">Shape of the two ends.</param>
    /// <param name="limits">How many points about corners and crossings are allowed; null for the usual limits.</param>
    /// <exception cref="ArgumentOutOfRangeException">The result would leave the coordinate range.</exception>
    public static ContourSet OfPath(ReadOnlySpan<GridPoint> path, double distance, OffsetShape shape, PathCap cap, WorkLimits? limits = null)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(distance);
        RequireWithinRange(distance);
        var curve = new OffsetCurve(distance, shape, (limits ?? WorkLimits.Usual).Meter(WorkKind.Corners, path.Length));
        curve.AddPath(path, cap);
        return RegionBoolean.Merge(curve.ToContourSet(), FillRule.Positive, limits: limits);
    }

    private static void RequireWithinRange(double distance) =>
        ArgumentOutOfRangeException.ThrowIfGreaterThan(distance, 2.0 * GridPoint.Limit);
}
