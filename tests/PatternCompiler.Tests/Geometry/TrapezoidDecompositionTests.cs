using CsCheck;
using PatternCompiler.Geometry;

namespace PatternCompiler.Tests.Geometry;

public sealed class TrapezoidDecompositionTests
{
    [Theory]
    [InlineData(FillRule.NonZero)]
    [InlineData(FillRule.EvenOdd)]
    [InlineData(FillRule.Positive)]
    internal void Pieces_are_disjoint_and_add_up_to_the_outlines(FillRule rule) =>
        RandomRings.OfAnySize.Sample(
            rings =>
            {
                Trapezoid[] pieces = TrapezoidDecomposition.Compute(rings, rule);
                RegionChecker.AssertDisjoint(pieces);
                Assert.Equal((Fraction)ExactArea.Twice(RegionBoolean.Merge(rings, rule)), ExactArea.Twice(pieces));
            },
            iter: Iterations.Usually(500));

    [Fact]
    public void Pieces_are_ordered_by_bottom() =>
        RandomRings.OfAnySize.Sample(
            rings =>
            {
                Trapezoid[] pieces = TrapezoidDecomposition.Compute(rings);
                for (int i = 1; i < pieces.Length; i++)
                {
                    Assert.True(pieces[i - 1].YBottom <= pieces[i].YBottom);
                }
            },
            iter: Iterations.Usually(300));

    // Counts of simple shapes, by counting on paper.
    [Theory]
    [InlineData(1, new[] { 0, 0, 10, 0, 10, 5, 0, 5 })] // rectangle
    [InlineData(2, new[] { 0, 0, 20, 0, 20, 5, 5, 5, 5, 20, 0, 20 })] // L
    [InlineData(2, new[] { 5, 0, 10, 0, 10, 10, 15, 10, 15, 15, 0, 15, 0, 10, 5, 10 })] // T
    [InlineData(3, new[] { 5, 0, 10, 0, 10, 5, 15, 5, 15, 10, 10, 10, 10, 15, 5, 15, 5, 10, 0, 10, 0, 5, 5, 5 })] // plus
    [InlineData(4, new[] { 0, 0, 40, 0, 40, 10, 30, 10, 30, 20, 20, 20, 20, 30, 10, 30, 10, 40, 0, 40 })] // staircase of 4
    public void Known_shapes_give_known_counts(int count, int[] coordinates) =>
        Assert.Equal(count, TrapezoidDecomposition.Compute(Ring(coordinates)).Length);

    [Fact]
    public void A_square_ring_gives_four()
    {
        ContourSet outer = Ring([0, 0, 30, 0, 30, 30, 0, 30]);
        ContourSet hole = Ring([10, 10, 20, 10, 20, 20, 10, 20]);
        Assert.Equal(4, TrapezoidDecomposition.Compute(outer, hole, BooleanOperation.Difference).Length);
    }

    // With all n vertices at different heights and h holes, a horizontal decomposition has n − 1 + h pieces.
    [Fact]
    public void A_polygon_in_general_position_gives_one_piece_less_than_its_vertices_and_one_more_per_hole() =>
        Gen.Select(Gen.Int[5, 40], Gen.Int[0, int.MaxValue], Gen.Bool).Sample(
            (vertices, seed, withHole) =>
            {
                var random = new Random(seed);
                ContourSet outer = Star(random, vertices, 1000);
                ContourSet hole = withHole ? Star(random, vertices, 100) : ContourSet.Empty;
                ContourSet region = RegionBoolean.Compute(outer, hole, BooleanOperation.Difference);
                var heights = new HashSet<int>();
                foreach (GridPoint p in region.Points)
                {
                    if (!heights.Add(p.Y))
                    {
                        return;
                    }
                }

                Assert.Equal(region.PointCount - 1 + (withHole ? 1 : 0), TrapezoidDecomposition.Compute(region).Length);
            },
            iter: Iterations.Usually(500));

    private static ContourSet Star(Random random, int vertices, int radius)
    {
        var builder = new ContourSetBuilder();
        for (int i = 0; i < vertices; i++)
        {
            double angle = 2 * Math.PI * (i + 0.8 * random.NextDouble()) / vertices;
            double r = radius * (0.6 + (0.4 * random.NextDouble()));
            builder.Add(new GridPoint((int)(1000 * r * Math.Cos(angle)), (int)(1000 * r * Math.Sin(angle))));
        }

        return builder.ToContourSet();
    }

    private static ContourSet Ring(int[] coordinates)
    {
        var builder = new ContourSetBuilder();
        for (int i = 0; i < coordinates.Length; i += 2)
        {
            builder.Add(new GridPoint(coordinates[i], coordinates[i + 1]));
        }

        return builder.ToContourSet();
    }
}
