using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Tests.Geometry;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fracture;

public sealed class FractureOptionsTests
{
    private const int GridPicometres = 1000;

    [Theory]
    [InlineData(FractureDirection.Horizontal)]
    [InlineData(FractureDirection.Vertical)]
    [InlineData(FractureDirection.Automatic)]
    public void Every_direction_covers_the_area_exactly(FractureDirection direction) =>
        Gen.Select(Gen.OneOf(RandomRings.Any(15, 6, 9), RandomRings.Any(2000, 5, 12), RandomRings.Rectilinear(12, 6)), Gen.OneOf(Gen.Const(0), Gen.Int[100, 400])).Sample(
            (rings, largest) =>
            {
                // Exact where no crossing has to be rounded: cut the merged outlines.
                ContourSet region = RegionBoolean.Merge(rings);
                if (region.Count == 0)
                {
                    return;
                }

                var options = new FractureOptions { Direction = direction, LargestFigureNanometres = largest, SliverNanometres = 2 };
                List<Trapezoid> shapes = [.. Fracture(region, options).Figures.Select(figure => figure.Shape)];
                Assert.Equal((Fraction)ExactArea.Twice(region), ExactArea.Twice(shapes.ToArray()));
                if (direction != FractureDirection.Automatic && shapes.Count < 200)
                {
                    RegionChecker.AssertDisjoint(shapes.ToArray());
                }

                if (largest > 0)
                {
                    Assert.All(shapes, shape => Assert.True(shape.YTop - shape.YBottom <= largest, "too high"));

                    // A row of one grid step may have too few grid points for a cut on one of its sides.
                    Assert.All(shapes, shape => Assert.True(Width(shape) <= largest + 1 || shape.YTop - shape.YBottom == 1, "too wide"));
                }
            },
            iter: Iterations.Usually(150));

    [Fact]
    public void The_automatic_direction_is_chosen_for_each_part()
    {
        // A comb with upright teeth is cut best into upright pieces, the same comb lying down into lying ones.
        ContourSet comb = ContourSet.FromRing(
            new(0, 0), new(500, 0), new(500, 100), new(450, 100), new(450, 12), new(350, 11), new(350, 100), new(300, 100), new(300, 14), new(200, 13), new(200, 100), new(0, 100));
        ContourSet lying = comb.Transposed();
        var both = new ContourSetBuilder();
        both.AddAll(comb);
        for (int i = 0; i < lying.Count; i++)
        {
            foreach (GridPoint p in lying[i])
            {
                both.Add(new GridPoint(p.X + 1000, p.Y + 1000));
            }
        }

        FiguresDocument result = Fracture(both.ToContourSet(), new FractureOptions { Direction = FractureDirection.Automatic });
        int upright = result.Figures.Count(figure => figure.IsTransposed);
        Assert.Equal(result.Figures.Count, 2 * upright);
        int horizontal = Fracture(both.ToContourSet(), new FractureOptions()).Figures.Count;
        int vertical = Fracture(both.ToContourSet(), new FractureOptions { Direction = FractureDirection.Vertical }).Figures.Count;
        Assert.True(result.Figures.Count < Math.Min(horizontal, vertical));
    }

    [Fact]
    public void A_large_rectangle_is_divided_evenly()
    {
        FiguresDocument result = Fracture(new GridBox(0, 0, 1050, 300).ToContourSet(), new FractureOptions { LargestFigureNanometres = 1000 });
        Assert.Equal(
            [Trapezoid.FromRectangle(0, 0, 525, 300), Trapezoid.FromRectangle(525, 0, 1050, 300)],
            result.Figures.Select(figure => figure.Shape));
    }

    [Fact]
    public void Slivers_are_reported_with_the_thinnest()
    {
        var sink = new DiagnosticSink();
        ContourSet steps = ContourSet.FromRing(new(0, 0), new(2000, 0), new(2000, 1000), new(1500, 1000), new(1500, 1003), new(1000, 1003), new(1000, 1000), new(0, 1000));
        FracturePass.Run(
            new FlatLayout(GridPicometres, ["pads"], [new FlatLayer(0, DoseFactor.One, steps, [], [])]),
            new FractureOptions { SliverNanometres = 10 },
            sink,
            default);
        Assert.Equal(
            "figure 1 on layer pads at (1.25, 1.0015) um: warning PC1103: 1 of 2 figures on layer \"pads\" is thinner than 10 nm; " +
            "the thinnest, 3 nm, is near (1 um, 1 um); try the automatic direction",
            Assert.Single(sink.Collected).ToString());
    }

    [Fact]
    public void A_sliver_is_where_its_own_corner_is_not_where_its_side_begins()
    {
        // Its left side is the upper end of the long one from (0, 0); its right side is too flat to be prolonged.
        var sink = new DiagnosticSink();
        ContourSet roof = ContourSet.FromRing(new(0, 0), new(3000, 0), new(3000, 997), new(2600, 997), new(2500, 1000), new(1000, 1000));
        FracturePass.Run(
            new FlatLayout(GridPicometres, ["pads"], [new FlatLayer(0, DoseFactor.One, roof, [], [])]),
            new FractureOptions { SliverNanometres = 10 },
            sink,
            default);
        Assert.Equal(
            "figure 1 on layer pads at (1.7743, 0.9985) um: warning PC1103: 1 of 2 figures on layer \"pads\" is thinner than 10 nm; " +
            "the thinnest, 3 nm, is near (0.997 um, 0.997 um); try the automatic direction",
            Assert.Single(sink.Collected).ToString());
    }

    private static double Width(Trapezoid t)
    {
        double At(GridEdge e, int y) => e.Lower.X + ((e.Upper.X - e.Lower.X) * (double)(y - e.Lower.Y) / (e.Upper.Y - e.Lower.Y));
        return Math.Max(At(t.Right, t.YBottom) - At(t.Left, t.YBottom), At(t.Right, t.YTop) - At(t.Left, t.YTop));
    }

    private static FiguresDocument Fracture(ContourSet area, FractureOptions options) => FracturePass.Run(
        new FlatLayout(GridPicometres, ["pads"], [new FlatLayer(0, DoseFactor.One, area, [], [])]), options, new DiagnosticSink(), default);
}
