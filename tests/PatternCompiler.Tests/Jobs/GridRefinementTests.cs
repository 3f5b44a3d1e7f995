using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

public sealed class GridRefinementTests
{
    [Fact]
    public void The_common_grid_holds_all()
    {
        Assert.Equal(10, GridRefinement.CommonGrid([10]));
        Assert.Equal(50, GridRefinement.CommonGrid([50, 100, 250]));
        Assert.Equal(20, GridRefinement.CommonGrid([100, 60, 40]));
        Assert.Equal(1, GridRefinement.CommonGrid([2, 3, 100]));
    }

    /// <summary>Every coordinate, length and step becomes as many times larger as the grid becomes finer.</summary>
    [Fact]
    public void Nothing_moves_on_a_finer_grid()
    {
        LayoutDocument fine = GridRefinement.Run(Drawing(1), 20, null);
        LayoutDocument expected = Drawing(5);
        Assert.Equal(20, fine.GridPicometres);
        Assert.Equal(expected.Cells[0].Shapes.Length, fine.Cells[0].Shapes.Length);
        foreach ((Shape wanted, Shape shape) in expected.Cells[0].Shapes.Zip(fine.Cells[0].Shapes))
        {
            Assert.Equal(Show(wanted), Show(shape));
        }

        Instance placed = Assert.Single(fine.Cells[1].Instances), wantedPlace = expected.Cells[1].Instances[0];
        Assert.Equal((wantedPlace.Origin, wantedPlace.Repetition), (placed.Origin, placed.Repetition));
        LayoutDocument same = Drawing(1);
        Assert.Same(same, GridRefinement.Run(same, 100, null));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(-1)]
    public void A_coordinate_too_large_for_the_grid_is_told(int sign)
    {
        LayoutDocument At(int x) => new(100, ["a"], [new Cell("top", [new DotShape(0, DoseFactor.One, new GridPoint(1, sign * x))], [])], "top");
        Assert.NotNull(GridRefinement.Run(At(GridPoint.Limit / 5), 20, "d.dxf"));
        Assert.Equal(
            "d.dxf: error PC0115: the drawings of this job meet on a grid of 0.02 nm, too fine for a coordinate of this one; give the drawings one grid",
            Assert.Throws<CompileException>(() => GridRefinement.Run(At((GridPoint.Limit / 5) + 1), 20, "d.dxf")).Message);
    }

    private static string Show(Shape shape) => shape switch
    {
        PolygonShape polygon => string.Join(" | ", Enumerable.Range(0, polygon.Contours.Count).Select(i => string.Join(' ', polygon.Contours[i].ToArray()))),
        PathShape path => $"{path.Width} {string.Join(' ', path.Points)}",
        LineShape line => string.Join(' ', line.Points),
        _ => shape.ToString(),
    };

    private static LayoutDocument Drawing(int factor)
    {
        GridPoint At(int x, int y) => new(factor * x, factor * y);
        var rings = new ContourSetBuilder();
        foreach (GridPoint[] ring in (GridPoint[][])[[At(0, 1), At(20, 3), At(7, 30)], [At(5, 5), At(9, 6), At(6, 9), At(4, 8)]])
        {
            foreach (GridPoint point in ring)
            {
                rings.Add(point);
            }

            rings.EndRing();
        }

        ImmutableArray<Shape> shapes =
        [
            new RectangleShape(0, DoseFactor.One, factor * 1, factor * -2, factor * 3, factor * 4),
            new PolygonShape(0, DoseFactor.One, rings.ToContourSet(), FillRule.NonZero),
            new CircleShape(0, DoseFactor.One, At(5, -6), factor * 7),
            new RingShape(0, DoseFactor.One, At(8, 9), factor * 10, factor * 11),
            new DotShape(0, DoseFactor.One, At(-12, 13)),
        ];
        return new LayoutDocument(
            100,
            ["a"],
            [
                new Cell("child", shapes, []),
                new Cell("top", [], [new Instance("child", At(14, -15), Orientation.Identity, Repetition.Once with { ColumnStep = At(16, 17), RowStep = At(-18, 19) }, DoseFactor.One)]),
            ],
            "top");
    }
}
