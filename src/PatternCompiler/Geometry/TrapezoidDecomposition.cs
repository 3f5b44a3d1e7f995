using PatternCompiler.Geometry.Sweep;
using PatternCompiler.Limits;

namespace PatternCompiler.Geometry;

/// <summary>
/// Cuts an area into disjoint trapezoids with horizontal parallel sides, straight from raw rings that may overlap and cross.
/// A trapezoid reaches up and down until one of its own two sides changes; vertices elsewhere do not cut it. The
/// trapezoids cover exactly the area that <see cref="RegionBoolean"/> gives for the same input, and are ordered by
/// bottom, then from left to right.
/// </summary>
internal static class TrapezoidDecomposition
{
    /// <summary>Decomposes one area.</summary>
    /// <param name="rings">Rings of the area.</param>
    /// <param name="rule">What they cover.</param>
    /// <param name="threads">Threads to use, 0 for all processors; the result does not depend on it.</param>
    /// <param name="limits">How many crossings are allowed; null for the usual limits.</param>
    /// <param name="cancellation">Ends the work early with <see cref="OperationCanceledException"/>.</param>
    public static Trapezoid[] Compute(
        ContourSet rings,
        FillRule rule = FillRule.NonZero,
        int threads = 0,
        WorkLimits? limits = null,
        CancellationToken cancellation = default) =>
        RegionEngine.Decompose(rings, rule, threads, limits ?? WorkLimits.Usual, cancellation);

    /// <summary>Decomposes the combination of two areas.</summary>
    /// <inheritdoc cref="RegionBoolean.Compute"/>
    public static Trapezoid[] Compute(
        ContourSet a,
        ContourSet b,
        BooleanOperation operation,
        FillRule ruleA = FillRule.NonZero,
        FillRule ruleB = FillRule.NonZero,
        int threads = 0,
        WorkLimits? limits = null,
        CancellationToken cancellation = default) =>
        RegionEngine.Decompose(a, b, new CoverRule(operation, ruleA, ruleB), threads, limits ?? WorkLimits.Usual, cancellation);
}
