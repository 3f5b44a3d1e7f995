using PatternCompiler.Geometry.Sweep;
using PatternCompiler.Limits;

namespace PatternCompiler.Geometry;

/// <summary>
/// Set operations on covered areas, exact on the grid. The result is made of rings that do not cross or overlap: outer
/// rings counter-clockwise, holes clockwise, without collinear points, each starting at its lowest (then leftmost)
/// point, ordered by that point. Where edges cross between grid points, the crossing moves to the nearest grid point and
/// every edge within half a step of it goes through it; nothing moves further than one step, and an input whose edges
/// cross on grid points only (all upright rectangles, for one) gives exact areas.
/// </summary>
internal static class RegionBoolean
{
    /// <summary>Combines two areas.</summary>
    /// <param name="a">Rings of the first area.</param>
    /// <param name="b">Rings of the second area.</param>
    /// <param name="operation">How to combine them.</param>
    /// <param name="ruleA">What the first rings cover.</param>
    /// <param name="ruleB">What the second rings cover.</param>
    /// <param name="threads">Threads to use, 0 for all processors; the result does not depend on it.</param>
    /// <param name="limits">How many crossings are allowed; null for the usual limits.</param>
    /// <param name="cancellation">Ends the work early with <see cref="OperationCanceledException"/>.</param>
    public static ContourSet Compute(
        ContourSet a,
        ContourSet b,
        BooleanOperation operation,
        FillRule ruleA = FillRule.NonZero,
        FillRule ruleB = FillRule.NonZero,
        int threads = 0,
        WorkLimits? limits = null,
        CancellationToken cancellation = default) =>
        RegionEngine.Outlines(a, b, new CoverRule(operation, ruleA, ruleB), threads, limits ?? WorkLimits.Usual, cancellation);

    /// <summary>Merges the rings of one area into outlines that do not overlap.</summary>
    /// <inheritdoc cref="Compute"/>
    public static ContourSet Merge(
        ContourSet rings,
        FillRule rule = FillRule.NonZero,
        int threads = 0,
        WorkLimits? limits = null,
        CancellationToken cancellation = default) =>
        RegionEngine.Outlines(rings, rule, threads, limits ?? WorkLimits.Usual, cancellation);

    /// <summary>The part of a frame that an area leaves bare: the opposite tone.</summary>
    /// <inheritdoc cref="Compute"/>
    public static ContourSet Invert(
        ContourSet rings,
        GridBox frame,
        FillRule rule = FillRule.NonZero,
        int threads = 0,
        WorkLimits? limits = null,
        CancellationToken cancellation = default) =>
        Compute(frame.ToContourSet(), rings, BooleanOperation.Difference, FillRule.NonZero, rule, threads, limits, cancellation);
}
