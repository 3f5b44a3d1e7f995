using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Recurrence;
using PatternCompiler.Geometry.Sweep;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Boolean;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fracture;

public sealed class FracturePassTests
{
    private static readonly ContourSet LeftSquare = new GridBox(0, 0, 100, 100).ToContourSet();
    private static readonly ContourSet RightSquare = new GridBox(50, 0, 150, 100).ToContourSet();

    [Fact]
    public void Areas_of_one_group_are_merged()
    {
        var both = new ContourSetBuilder();
        both.AddAll(LeftSquare);
        both.AddAll(RightSquare);
        Figure figure = Assert.Single(Fracture(Group(1, both.ToContourSet())).Figures);
        Assert.Equal(Trapezoid.FromRectangle(0, 0, 150, 100), figure.Shape);
    }

    [Theory]
    [InlineData(DoseOverlapRule.Highest, 5000, 10000)]
    [InlineData(DoseOverlapRule.Lowest, 10000, 5000)]
    [InlineData(DoseOverlapRule.Sum, 10000, 10000)]
    public void Overlap_of_doses_follows_the_rule(DoseOverlapRule rule, int areaOfLower, int areaOfHigher)
    {
        FiguresDocument result = Fracture(rule, new DiagnosticSink(), Group(1, LeftSquare), Group(1.5, RightSquare));
        Assert.Equal(areaOfLower, AreaOf(result, 1));
        Assert.Equal(areaOfHigher, AreaOf(result, 1.5));
    }

    [Theory]
    [InlineData(0, 1, 10000, 5000)]
    [InlineData(1, 0, 5000, 10000)]
    [InlineData(0, 0, 10000, 5000)] // neither is known to come first: then the lower dose does
    public void Overlap_of_doses_goes_to_the_one_used_first(int rankOfLower, int rankOfHigher, int areaOfLower, int areaOfHigher)
    {
        FiguresDocument result = Fracture(
            DoseOverlapRule.First,
            new DiagnosticSink(),
            Group(1, LeftSquare) with { Rank = rankOfLower },
            Group(1.5, RightSquare) with { Rank = rankOfHigher });
        Assert.Equal(areaOfLower, AreaOf(result, 1));
        Assert.Equal(areaOfHigher, AreaOf(result, 1.5));
    }

    [Fact]
    public void The_dose_used_first_is_that_of_the_shape_drawn_first_even_after_a_boolean_pass()
    {
        var cell = new Cell("c", [Square(1.5, 0), Square(1, 50), Square(1.5, 200)], []);
        var layout = new LayoutDocument(10_000, ["bars"], [cell], "c");
        for (int pass = 0; pass < 2; pass++)
        {
            FlatLayout flat = FlattenPass.Run(layout, FlattenOptions.Default, new DiagnosticSink());
            FiguresDocument result = FracturePass.Run(flat, new FractureOptions { DoseOverlap = DoseOverlapRule.First }, new DiagnosticSink(), default);
            Assert.Equal(5000, AreaOf(result, 1));
            Assert.Equal(20000, AreaOf(result, 1.5));
            layout = BooleanPass.Run(flat, new BooleanOptions(), new DiagnosticSink(), default);
        }

        static Shape Square(double dose, int x) => new RectangleShape(0, DoseFactor.FromValue(dose), x, 0, x + 100, 100);
    }

    [Fact]
    public void A_cell_that_is_placed_many_times_gives_the_figures_of_the_flat_drawing()
    {
        var polygon = new PolygonShape(
            0, DoseFactor.One, ContourSet.FromRing([new(0, 0), new(40, 3), new(17, 11), new(25, 30), new(9, 14), new(-20, 21)]), FillRule.NonZero);
        var cell = new Cell("arrow", [polygon, new CircleShape(0, DoseFactor.One, new(10, 60), 12)], []);
        Instance[] arrays =
        [
            Copies(0, 1, new(0, 0), 9, 7),
            Copies(90, 1, new(1000, 40), 5, 5),
            Copies(180, -1, new(60, 1000), 6, 4),
            Copies(30, 1, new(1500, 900), 3, 3),
        ];
        var top = new Cell("top", [new RectangleShape(0, DoseFactor.One, -200, 100, -120, 480)], [.. arrays]);
        FlatLayout flat = FlattenPass.Run(new LayoutDocument(10_000, ["bars"], [cell, top], "top"), FlattenOptions.Default, new DiagnosticSink());
        ContourSet area = Assert.Single(flat.Groups).Area;
        Assert.NotNull(RecurringParts.Find(area));

        Trapezoid[] expected = RegionSweep.Decompose(Arrangement.Build(area, null, 1, default), CoverRule.Single(FillRule.NonZero), 1, default);
        FiguresDocument actual = FracturePass.Run(flat, new FractureOptions(), new DiagnosticSink(), default);
        Assert.Equal(expected, actual.Figures.Select(figure => figure.Shape));

        static Instance Copies(double rotation, double mirror, GridPoint origin, int columns, int rows) => new(
            "arrow", origin, new Orientation(rotation, 1, mirror), new Repetition(columns, rows, new(90, 0), new(0, 95)), DoseFactor.One);
    }

    [Fact]
    public void Overlap_of_doses_is_noted()
    {
        var sink = new DiagnosticSink();
        Fracture(DoseOverlapRule.Highest, sink, Group(1, LeftSquare), Group(1.5, RightSquare));
        Assert.Equal(
            "layer bars at (0.75, 0.5) um: note PC1102: on layer \"bars\" areas with dose factors 1 and 1.5 overlap by 0.5 um2; 1.5 is written there",
            Assert.Single(sink.Collected).ToString());
    }

    [Fact]
    public void Lines_become_one_figure_per_segment_after_the_areas_and_before_the_dots()
    {
        var group = new FlatLayer(0, DoseFactor.One, LeftSquare, [[new(0, 0), new(5, 5), new(5, 9)]], [new(7, 7)]);
        FiguresDocument result = Fracture(group);
        Assert.Equal(
            [FigureKind.Trapezoid, FigureKind.Line, FigureKind.Line, FigureKind.Dot],
            result.Figures.Select(figure => figure.Kind));
        Assert.Equal((new GridPoint(5, 5), new GridPoint(5, 9)), (result.Figures[2].Start, result.Figures[2].End));
        Assert.Equal(new GridPoint(7, 7), result.Figures[3].Start);
    }

    [Fact]
    public void Nothing_to_write_is_an_error()
    {
        var error = Assert.Throws<CompileException>(() => Fracture(Group(1, ContourSet.Empty)));
        Assert.Equal(
            "error PC1101: the layout holds no area, line or dot to write; " +
            "check which layers are chosen and whether the drawing has closed outlines on them",
            error.Message);
    }

    private static long AreaOf(FiguresDocument document, double dose) =>
        (long)(ExactArea.Twice([.. document.Figures.Where(f => f.DoseFactor == DoseFactor.FromValue(dose)).Select(f => f.Shape)]).Numerator / 2);

    private static FlatLayer Group(double dose, ContourSet area) => new(0, DoseFactor.FromValue(dose), area, [], []);

    private static FiguresDocument Fracture(params FlatLayer[] groups) =>
        Fracture(DoseOverlapRule.Highest, new DiagnosticSink(), groups);

    private static FiguresDocument Fracture(DoseOverlapRule rule, DiagnosticSink sink, params FlatLayer[] groups) =>
        FracturePass.Run(new FlatLayout(10_000, ["bars"], [.. groups]), new FractureOptions { DoseOverlap = rule }, sink, default);
}
