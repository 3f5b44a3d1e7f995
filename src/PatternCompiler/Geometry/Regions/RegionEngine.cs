using PatternCompiler.Geometry.Rectilinear;
using PatternCompiler.Geometry.Recurrence;
using PatternCompiler.Geometry.Sweep;
using PatternCompiler.Limits;

namespace PatternCompiler.Geometry.Regions;

/// <summary>
/// Chooses the sweep that fits the input: rings of horizontal and vertical edges only have one of their own, and parts that
/// recur elsewhere are swept once.
/// </summary>
internal static class RegionEngine
{
    public static ContourSet Outlines(ContourSet rings, FillRule rule, int threads, WorkLimits limits, CancellationToken cancellation) =>
        LevelEdges.AreAll(rings)
            ? RectilinearSweep.Outlines(LevelEdges.Collect(rings, 1, null, 0), rule, 0)
            : RecurringParts.Find(rings) is { } recurring
            ? RecurringRegion.Outlines(recurring, part => SweepOutlines(part, rule, threads, limits, cancellation), ThreadCount(threads), cancellation)
            : SweepOutlines(rings, rule, threads, limits, cancellation);

    public static ContourSet Outlines(ContourSet a, ContourSet b, CoverRule rule, int threads, WorkLimits limits, CancellationToken cancellation)
    {
        if (LevelEdges.AreAll(a) && LevelEdges.AreAll(b))
        {
            var (edges, fill, initial) = Combine(a, b, rule);
            return RectilinearSweep.Outlines(edges, fill, initial);
        }

        return RegionSweep.Outlines(Arrangement.Build(a, b, ThreadCount(threads), cancellation, limits), rule, ThreadCount(threads), cancellation);
    }

    public static Trapezoid[] Decompose(ContourSet rings, FillRule rule, int threads, WorkLimits limits, CancellationToken cancellation) =>
        LevelEdges.AreAll(rings)
            ? RectilinearSweep.Decompose(LevelEdges.Collect(rings, 1, null, 0), rule, 0)
            : RecurringParts.Find(rings) is { } recurring
            ? RecurringRegion.Decompose(recurring, part => SweepPieces(part, rule, threads, limits, cancellation), ThreadCount(threads), cancellation)
            : SweepPieces(rings, rule, threads, limits, cancellation);

    public static Trapezoid[] Decompose(ContourSet a, ContourSet b, CoverRule rule, int threads, WorkLimits limits, CancellationToken cancellation)
    {
        if (LevelEdges.AreAll(a) && LevelEdges.AreAll(b))
        {
            var (edges, fill, initial) = Combine(a, b, rule);
            return RectilinearSweep.Decompose(edges, fill, initial);
        }

        return RegionSweep.Decompose(Arrangement.Build(a, b, ThreadCount(threads), cancellation, limits), rule, ThreadCount(threads), cancellation);
    }

    /// <summary>
    /// Expresses an operation as a fill rule. After each operand is merged its winding number is 0 or 1; then the union is
    /// where their sum is positive, the intersection where the sum less one is, the difference where the first
    /// less the second is, and the symmetric difference where the sum is odd.
    /// </summary>
    private static (LevelEdges Edges, FillRule Rule, int Initial) Combine(ContourSet a, ContourSet b, CoverRule rule)
    {
        ContourSet first = RectilinearSweep.Outlines(LevelEdges.Collect(a, 1, null, 0), rule.First, 0);
        ContourSet second = RectilinearSweep.Outlines(LevelEdges.Collect(b, 1, null, 0), rule.Second, 0);
        return rule.Operation switch
        {
            BooleanOperation.Union => (LevelEdges.Collect(first, 1, second, 1), FillRule.Positive, 0),
            BooleanOperation.Intersection => (LevelEdges.Collect(first, 1, second, 1), FillRule.Positive, -1),
            BooleanOperation.Difference => (LevelEdges.Collect(first, 1, second, -1), FillRule.Positive, 0),
            _ => (LevelEdges.Collect(first, 1, second, 1), FillRule.EvenOdd, 0),
        };
    }

    private static ContourSet SweepOutlines(ContourSet rings, FillRule rule, int threads, WorkLimits limits, CancellationToken cancellation) =>
        RegionSweep.Outlines(
            Arrangement.Build(rings, null, ThreadCount(threads), cancellation, limits), CoverRule.Single(rule), ThreadCount(threads), cancellation);

    private static Trapezoid[] SweepPieces(ContourSet rings, FillRule rule, int threads, WorkLimits limits, CancellationToken cancellation) =>
        RegionSweep.Decompose(
            Arrangement.Build(rings, null, ThreadCount(threads), cancellation, limits), CoverRule.Single(rule), ThreadCount(threads), cancellation);

    private static int ThreadCount(int threads) => threads > 0 ? threads : Environment.ProcessorCount;
}
