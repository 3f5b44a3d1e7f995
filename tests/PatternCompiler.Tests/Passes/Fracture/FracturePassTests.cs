using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
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

    [Fact]
    public void Overlap_of_doses_is_noted()
    {
        var sink = new DiagnosticSink();
        Fracture(DoseOverlapRule.Highest, sink, Group(1, LeftSquare), Group(1.5, RightSquare));
        Assert.Equal(
            "note PC1102: on layer \"bars\" areas with dose factors 1 and 1.5 overlap by 0.5 um2; 1.5 is written there",
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
