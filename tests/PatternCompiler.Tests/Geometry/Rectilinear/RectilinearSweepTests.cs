using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Tests.Geometry.Rectilinear;

/// <summary>The sweep for rectilinear rings must agree with the general one in every point, edge and order.</summary>
public sealed class RectilinearSweepTests
{
    private static readonly Gen<ContourSet> Rings = Gen.OneOf(
        RandomRings.Rectilinear(5, 8), RandomRings.Rectilinear(12, 20), RandomRings.Rectilinear(300, 40), RandomRings.Rectilinear(20_000, 300),
        RandomRings.Rectilinear(GridPoint.Limit, 30));

    private static readonly Gen<FillRule> Rule = Gen.Enum<FillRule>();

    [Fact]
    public void Outlines_equal_those_of_the_general_sweep() =>
        Gen.Select(Rings, Rule).Sample(
            (rings, rule) => AssertSame(
                RegionSweep.Outlines(Arrangement.Build(rings, null, 1, default), CoverRule.Single(rule), 1, default),
                RegionBoolean.Merge(rings, rule)),
            iter: Iterations.Usually(300));

    [Fact]
    public void Pieces_equal_those_of_the_general_sweep() =>
        Gen.Select(Rings, Rule).Sample(
            (rings, rule) => Assert.Equal(
                RegionSweep.Decompose(Arrangement.Build(rings, null, 1, default), CoverRule.Single(rule), 1, default),
                TrapezoidDecomposition.Compute(rings, rule)),
            iter: Iterations.Usually(300));

    [Fact]
    public void Operations_equal_those_of_the_general_sweep() =>
        Gen.Select(Rings, Rings, Gen.Enum<BooleanOperation>(), Rule, Rule).Sample(
            (a, b, operation, ruleA, ruleB) =>
            {
                Arrangement arrangement = Arrangement.Build(a, b, 1, default);
                var rule = new CoverRule(operation, ruleA, ruleB);
                AssertSame(RegionSweep.Outlines(arrangement, rule, 1, default), RegionBoolean.Compute(a, b, operation, ruleA, ruleB));
                Assert.Equal(RegionSweep.Decompose(arrangement, rule, 1, default), TrapezoidDecomposition.Compute(a, b, operation, ruleA, ruleB));
            },
            iter: Iterations.Usually(300));

    /// <summary>
    /// Bars over ten thousand coordinates, across and upright, once and twice over squares that lie among them: whole stretches of
    /// thousands of cells change their cover at once, partly, or not at all.
    /// </summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Bars_across_thousands_of_squares_equal_those_of_the_general_sweep(bool isUpright)
    {
        ContourSet squares = Boxes([.. Enumerable.Range(0, 5000).Select(i => (4 * i, 100 * (i % 7), 4 * i + 2 + i % 2, 100 * (i % 7) + 30 + i % 11))], isUpright);
        ContourSet bars = Boxes([(0, -50, 20_000, -40), (-9, -45, 20_009, 333), (4096, -30, 16_399, 650), (-9, 333, 20_009, 333 + 90), (0, 700, 20_000, 705)], isUpright);
        Arrangement arrangement = Arrangement.Build(squares, bars, 1, default);
        foreach (BooleanOperation operation in Enum.GetValues<BooleanOperation>())
        {
            AssertSame(
                RegionSweep.Outlines(arrangement, new CoverRule(operation, FillRule.NonZero, FillRule.EvenOdd), 1, default),
                RegionBoolean.Compute(squares, bars, operation, FillRule.NonZero, FillRule.EvenOdd));
        }

        var both = new ContourSetBuilder();
        both.AddAll(squares);
        both.AddAll(bars);
        ContourSet all = both.ToContourSet();
        foreach (FillRule rule in Enum.GetValues<FillRule>())
        {
            AssertSame(RegionSweep.Outlines(Arrangement.Build(all, null, 1, default), CoverRule.Single(rule), 1, default), RegionBoolean.Merge(all, rule));
        }

        static ContourSet Boxes((int Left, int Bottom, int Right, int Top)[] boxes, bool isUpright)
        {
            var rings = new ContourSetBuilder();
            foreach ((int left, int bottom, int right, int top) in boxes)
            {
                rings.AddRing((isUpright ? new GridBox(bottom, left, top, right) : new GridBox(left, bottom, right, top)).ToContourSet().Points);
            }

            return rings.ToContourSet();
        }
    }

    /// <summary>Too many different coordinates to sort by the ranks of both at once.</summary>
    [Fact]
    public void A_million_squares_on_a_diagonal_come_in_order()
    {
        const int Count = 1_100_000;
        var rings = new ContourSetBuilder();
        for (int i = Count - 1; i >= 0; i--)
        {
            rings.AddRing(new GridBox(3 * i, 3 * i, (3 * i) + 2, (3 * i) + 2).ToContourSet().Points);
        }

        Trapezoid[] pieces = TrapezoidDecomposition.Compute(rings.ToContourSet());
        Assert.Equal(Count, pieces.Length);
        for (int i = 0; i < Count; i += 1000)
        {
            Assert.Equal(Trapezoid.FromRectangle(3 * i, 3 * i, (3 * i) + 2, (3 * i) + 2), pieces[i]);
        }
    }

    private static void AssertSame(ContourSet expected, ContourSet actual)
    {
        Assert.Equal(expected.Count, actual.Count);
        for (int i = 0; i < expected.Count; i++)
        {
            Assert.Equal(expected[i].ToArray(), actual[i].ToArray());
        }
    }
}
