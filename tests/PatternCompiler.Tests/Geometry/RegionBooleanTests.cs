using CsCheck;
using PatternCompiler.Geometry;

namespace PatternCompiler.Tests.Geometry;

public sealed class RegionBooleanTests
{
    [Theory]
    [InlineData(FillRule.NonZero)]
    [InlineData(FillRule.EvenOdd)]
    [InlineData(FillRule.Positive)]
    internal void Any_soup_merges_into_valid_outlines(FillRule rule) =>
        RandomRings.OfAnySize.Sample(rings => RegionChecker.AssertValidOutlines(RegionBoolean.Merge(rings, rule)), iter: Iterations.Usually(250));

    [Fact]
    public void Merging_again_changes_nothing() =>
        RandomRings.OfAnySize.Sample(
            rings =>
            {
                ContourSet once = RegionBoolean.Merge(rings);
                AssertSame(once, RegionBoolean.Merge(once));
                AssertSame(once, RegionBoolean.Merge(once, FillRule.EvenOdd));
                AssertSame(once, RegionBoolean.Merge(once, FillRule.Positive));
            },
            iter: Iterations.Usually(250));

    [Theory]
    [InlineData(BooleanOperation.Union)]
    [InlineData(BooleanOperation.Intersection)]
    [InlineData(BooleanOperation.Difference)]
    [InlineData(BooleanOperation.SymmetricDifference)]
    internal void Operations_give_valid_outlines(BooleanOperation operation) =>
        Gen.Select(RandomRings.OfAnySize, RandomRings.OfAnySize).Sample(
            (a, b) => RegionChecker.AssertValidOutlines(RegionBoolean.Compute(a, b, operation)),
            iter: Iterations.Usually(250));

    [Fact]
    public void Areas_add_up() =>
        Gen.Select(RandomRings.Rectilinear(9), RandomRings.Rectilinear(9)).Sample(
            (a, b) =>
            {
                Int128 both = Area(a, b, BooleanOperation.Intersection);
                Int128 first = ExactArea.Twice(RegionBoolean.Merge(a)), second = ExactArea.Twice(RegionBoolean.Merge(b));
                Assert.Equal(first + second, Area(a, b, BooleanOperation.Union) + both);
                Assert.Equal(first - both, Area(a, b, BooleanOperation.Difference));
                Assert.Equal(first + second - (2 * both), Area(a, b, BooleanOperation.SymmetricDifference));
            },
            iter: Iterations.Usually(250));

    [Fact]
    public void Areas_add_up_in_one_arrangement() =>
        Gen.Select(RandomRings.OfAnySize, RandomRings.OfAnySize).Sample(
            (a, b) =>
            {
                // Every operation rounds the same crossings, so the parts of one arrangement add up exactly.
                Int128 union = Area(a, b, BooleanOperation.Union);
                Int128 parts = Area(a, b, BooleanOperation.Difference) + Area(b, a, BooleanOperation.Difference) +
                    Area(a, b, BooleanOperation.Intersection);
                Assert.Equal(union, parts);
                Assert.Equal(union, Area(a, b, BooleanOperation.SymmetricDifference) + Area(a, b, BooleanOperation.Intersection));
            },
            iter: Iterations.Usually(250));

    [Fact]
    public void Difference_with_itself_is_empty() =>
        RandomRings.OfAnySize.Sample(
            rings =>
            {
                Assert.Equal(0, RegionBoolean.Compute(rings, rings, BooleanOperation.SymmetricDifference).Count);
                Assert.Equal(0, RegionBoolean.Compute(rings, rings, BooleanOperation.Difference).Count);
                AssertSame(RegionBoolean.Merge(rings), RegionBoolean.Compute(rings, rings, BooleanOperation.Intersection));
            },
            iter: Iterations.Usually(250));

    [Fact]
    public void Moving_by_grid_steps_moves_the_result() =>
        Gen.Select(RandomRings.Any(50, 6, 12), Gen.Int[-1000, 1000], Gen.Int[-1000, 1000]).Sample(
            (rings, dx, dy) => AssertSame(Moved(RegionBoolean.Merge(rings), dx, dy), RegionBoolean.Merge(Moved(rings, dx, dy))),
            iter: Iterations.Usually(250));

    [Theory]
    [InlineData(FillRule.NonZero)]
    [InlineData(FillRule.EvenOdd)]
    [InlineData(FillRule.Positive)]
    internal void Rectilinear_cover_follows_the_definition_at_every_cell(FillRule rule) =>
        RandomRings.Rectilinear(6, 7).Sample(
            rings =>
            {
                ContourSet merged = RegionBoolean.Merge(rings, rule);
                for (int x = -1; x < 14; x += 2)
                {
                    for (int y = -1; y < 14; y += 2)
                    {
                        int winding = RegionChecker.Winding(rings, x, y);
                        bool covered = rule switch
                        {
                            FillRule.NonZero => winding != 0,
                            FillRule.EvenOdd => winding % 2 != 0,
                            _ => winding > 0,
                        };
                        Assert.Equal(covered ? 1 : 0, RegionChecker.Winding(merged, x, y));
                    }
                }
            },
            iter: Iterations.Usually(250));

    [Fact]
    public void Output_edges_stay_within_one_step_of_input_edges() =>
        RandomRings.Any(300, 4, 10).Sample(
            rings =>
            {
                var input = RegionChecker.Edges(rings);
                foreach ((GridPoint from, GridPoint to) in RegionChecker.Edges(RegionBoolean.Merge(rings)))
                {
                    for (int i = 0; i <= 8; i++)
                    {
                        double x = from.X + ((to.X - from.X) * i / 8.0), y = from.Y + ((to.Y - from.Y) * i / 8.0);
                        Assert.Contains(input, edge => Distance(x, y, edge) <= 1);
                    }
                }
            },
            iter: Iterations.Usually(250));

    [Fact]
    public void Every_thread_count_gives_the_same_result()
    {
        var random = new Random(7);
        var builder = new ContourSetBuilder();
        for (int i = 0; i < 600; i++)
        {
            int x = random.Next(9000), y = random.Next(9000);
            for (int k = 0; k < 12; k++)
            {
                builder.Add(new GridPoint(x + random.Next(600), y + random.Next(600)));
            }

            builder.EndRing();
        }

        ContourSet rings = builder.ToContourSet();
        ContourSet one = RegionBoolean.Merge(rings, threads: 1);
        Trapezoid[] cut = TrapezoidDecomposition.Compute(rings, threads: 1);
        for (int threads = 2; threads <= 5; threads++)
        {
            AssertSame(one, RegionBoolean.Merge(rings, threads: threads));
            Assert.Equal(cut, TrapezoidDecomposition.Compute(rings, threads: threads));
        }
    }

    [Fact]
    public void Hundreds_of_edges_through_one_point_are_no_trouble()
    {
        var random = new Random(3);
        var builder = new ContourSetBuilder();
        for (int i = 0; i < 150; i++)
        {
            // Thin needles that all cross about the origin, in pairs of opposite points.
            int x = random.Next(-50_000, 50_000), y = random.Next(-50_000, 50_000);
            builder.AddRing([new(x, y), new(-x, -y), new(-x + random.Next(1, 4), -y + random.Next(1, 4))]);
        }

        ContourSet rings = builder.ToContourSet();
        ContourSet merged = RegionBoolean.Merge(rings);
        Assert.Equal((Fraction)ExactArea.Twice(merged), ExactArea.Twice(TrapezoidDecomposition.Compute(rings)));
        Assert.Equal(0, RegionBoolean.Compute(merged, merged, BooleanOperation.SymmetricDifference).Count);
    }

    [Fact]
    public void Squares_that_touch_at_a_corner_stay_two_rings()
    {
        var rings = new ContourSetBuilder();
        rings.AddRing([new(0, 0), new(10, 0), new(10, 10), new(0, 10)]);
        rings.AddRing([new(10, 10), new(20, 10), new(20, 20), new(10, 20)]);
        ContourSet merged = RegionBoolean.Merge(rings.ToContourSet());
        Assert.Equal(2, merged.Count);
    }

    [Fact]
    public void A_hole_that_touches_the_outline_stays_a_hole()
    {
        ContourSet outer = ContourSet.FromRing(new(0, 0), new(20, 0), new(20, 20), new(0, 20));
        ContourSet hole = ContourSet.FromRing(new(10, 0), new(15, 10), new(5, 10));
        ContourSet result = RegionBoolean.Compute(outer, hole, BooleanOperation.Difference);
        Assert.Equal(2, result.Count);
        Assert.True(ExactArea.Twice(result[0]) > 0);
        Assert.Equal(-100, ExactArea.Twice(result[1]));
    }

    private static Int128 Area(ContourSet a, ContourSet b, BooleanOperation operation) =>
        ExactArea.Twice(RegionBoolean.Compute(a, b, operation));

    private static ContourSet Moved(ContourSet rings, int dx, int dy)
    {
        var builder = new ContourSetBuilder();
        for (int i = 0; i < rings.Count; i++)
        {
            foreach (GridPoint p in rings[i])
            {
                builder.Add(new GridPoint(p.X + dx, p.Y + dy));
            }

            builder.EndRing();
        }

        return builder.ToContourSet();
    }

    private static void AssertSame(ContourSet expected, ContourSet actual)
    {
        Assert.Equal(expected.Count, actual.Count);
        for (int i = 0; i < expected.Count; i++)
        {
            Assert.Equal(expected[i].ToArray(), actual[i].ToArray());
        }
    }

    private static double Distance(double x, double y, (GridPoint From, GridPoint To) edge)
    {
        double dx = edge.To.X - edge.From.X, dy = edge.To.Y - edge.From.Y;
        double t = Math.Clamp((((x - edge.From.X) * dx) + ((y - edge.From.Y) * dy)) / ((dx * dx) + (dy * dy)), 0, 1);
        return Math.Sqrt(Math.Pow(x - edge.From.X - (t * dx), 2) + Math.Pow(y - edge.From.Y - (t * dy), 2));
    }
}
