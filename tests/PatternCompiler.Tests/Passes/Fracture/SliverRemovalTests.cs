using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Tests.Geometry;

namespace PatternCompiler.Tests.Passes.Fracture;

public sealed class SliverRemovalTests
{
    private const int Limit = 10;

    [Fact]
    public void A_step_on_one_end_goes_down_through_its_piece() =>
        Assert.Equal(
            [Trapezoid.FromRectangle(0, 0, 1000, 1000), Trapezoid.FromRectangle(1000, 0, 2000, 1003)],
            Shown(Cut(new(0, 0), new(2000, 0), new(2000, 1003), new(1000, 1003), new(1000, 1000), new(0, 1000))));

    [Fact]
    public void A_low_passage_goes_over_into_both_its_neighbours() =>
        Assert.Equal(
            [Trapezoid.FromRectangle(0, 0, 600, 503), Trapezoid.FromRectangle(600, 500, 1000, 900), Trapezoid.FromRectangle(400, 503, 600, 900)],
            Shown(Cut(new(0, 0), new(600, 0), new(600, 500), new(1000, 500), new(1000, 900), new(400, 900), new(400, 503), new(0, 503))));

    [Fact]
    public void A_slanted_side_is_prolonged_exactly()
    {
        // The side from (1000, 1000) to (1001, 1003) meets the bottom at x = 666 2/3.
        Trapezoid[] pieces = Cut(new(0, 0), new(2000, 0), new(2000, 1003), new(1001, 1003), new(1000, 1000), new(0, 1000));
        Assert.Equal(2, pieces.Length);
        Assert.All(pieces, piece => Assert.True(piece.YTop - piece.YBottom > Limit));
        Assert.Equal(new GridEdge(new(666, -2), new(1001, 1003)), pieces[1].Left);
        Assert.Equal(pieces[0].Right, pieces[1].Left);
    }

    [Fact]
    public void What_is_low_as_a_whole_stays() =>
        Assert.Equal([Trapezoid.FromRectangle(0, 0, 100, 5)], Cut(new(0, 0), new(100, 0), new(100, 5), new(0, 5)));

    [Fact]
    public void The_area_stays_in_as_many_pieces_with_no_more_slivers() =>
        Gen.OneOf(RandomRings.Any(60, 5, 8), RandomRings.Rectilinear(60, 7), RandomRings.Any(2000, 4, 10)).Sample(
            rings =>
            {
                Trapezoid[] pieces = TrapezoidDecomposition.Compute(RegionBoolean.Merge(rings));
                Trapezoid[] moved = SliverRemoval.Run(pieces, Limit);
                Assert.Equal(pieces.Length, moved.Length);
                Assert.Equal(ExactArea.Twice(pieces), ExactArea.Twice(moved));
                Assert.True(moved.Count(IsSliver) <= pieces.Count(IsSliver));
                Assert.Equal(moved.Order(Comparer<Trapezoid>.Create(TrapezoidOrder.CompareBottoms)), moved);
                if (moved.Length < 100)
                {
                    RegionChecker.AssertDisjoint(moved);
                    AssertSameCover(pieces, moved);
                }
            },
            iter: Iterations.Usually(400));

    private static void AssertSameCover(Trapezoid[] expected, Trapezoid[] actual)
    {
        // Disjoint pieces of the same total area cover the same if the middle of each lies in the other set.
        foreach (Trapezoid piece in expected)
        {
            double y = (piece.YBottom + (double)piece.YTop) / 2;
            double x = (TrapezoidMeasure.XAt(piece.Left, y) + TrapezoidMeasure.XAt(piece.Right, y)) / 2;
            Assert.Contains(actual, t => t.YBottom <= y && y <= t.YTop && TrapezoidMeasure.XAt(t.Left, y) <= x && x <= TrapezoidMeasure.XAt(t.Right, y));
        }
    }

    private static bool IsSliver(Trapezoid piece) => TrapezoidMeasure.Thickness(piece) < Limit;

    private static Trapezoid[] Cut(params GridPoint[] ring) =>
        SliverRemoval.Run(TrapezoidDecomposition.Compute(ContourSet.FromRing(ring)), Limit);

    /// <summary>With sides cut off at their own heights, as rectangles.</summary>
    private static IEnumerable<Trapezoid> Shown(Trapezoid[] pieces) =>
        pieces.Select(piece => Trapezoid.FromRectangle(piece.Left.Lower.X, piece.YBottom, piece.Right.Lower.X, piece.YTop));
}
