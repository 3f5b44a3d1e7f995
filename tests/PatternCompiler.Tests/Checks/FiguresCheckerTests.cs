using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Checks;

public sealed class FiguresCheckerTests
{
    private static readonly Figure Square = Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(-10, 0, 10, 20));

    private static FigureTotals Check(params Figure[] figures)
    {
        var checker = new FiguresChecker();
        checker.Begin(new FiguresHeader(100, ["metal"]));
        checker.Write(figures);
        checker.End();
        return checker.Totals;
    }

    private static string FaultOf(Figure figure) => Assert.Throws<CompileException>(() => Check(Square, figure)).Message;

    [Fact]
    public void Counts_and_measures_what_passes()
    {
        Figure dot = Figure.FromDot(0, DoseFactor.One, new GridPoint(30, -40));
        Figure line = Figure.FromLine(0, DoseFactor.One, new GridPoint(0, 0), new GridPoint(5, 50));
        Assert.Equal(new FigureTotals(3, 1, 1, 1, -1, -4, 3, 5), Check(Square, dot, line));
    }

    // Grid steps of 0.1 nm; every end of a line and both coordinates of a dot count.
    [Theory]
    [InlineData(-30, -70, 50, 20)]
    [InlineData(50, 20, -30, -70)]
    [InlineData(-30, 20, 50, -70)]
    public void Lines_and_dots_are_measured_at_both_ends(int startX, int startY, int endX, int endY)
    {
        Assert.Equal(
            new FigureTotals(1, 0, 1, 0, -3, -7, 5, 2), Check(Figure.FromLine(0, DoseFactor.One, new GridPoint(startX, startY), new GridPoint(endX, endY))));
        double x = startX / 10.0;
        double y = startY / 10.0;
        Assert.Equal(new FigureTotals(1, 0, 0, 1, x, y, x, y), Check(Figure.FromDot(0, DoseFactor.One, new GridPoint(startX, startY))));
    }

    [Fact]
    public void A_transposed_figure_is_measured_on_the_drawing_axes() =>
        Assert.Equal(new FigureTotals(1, 1, 0, 0, 0, -1, 2, 1), Check(Square with { IsTransposed = true }));

    [Fact]
    public void An_undeclared_layer_is_refused() => Assert.Equal(
        "figure 1: error PC1602: it is on layer number 1, but the document has 1 layers", FaultOf(Square with { Layer = 1 }));

    [Fact]
    public void A_coordinate_out_of_range_is_refused() => Assert.Equal(
        "figure 1: error PC1602: the point (1073741824, 0) is beyond the largest coordinate",
        FaultOf(Figure.FromDot(0, DoseFactor.One, new GridPoint(1 << 30, 0))));

    private const int Beyond = 1 << 30;

    public static TheoryData<string, object> OutOfRange { get; } = new()
    {
        { "the start of a line", Figure.FromLine(0, DoseFactor.One, new GridPoint(0, Beyond), new GridPoint(0, 0)) },
        { "the end of a line", Figure.FromLine(0, DoseFactor.One, new GridPoint(0, 0), new GridPoint(0, -Beyond)) },
        { "a dot", Figure.FromDot(0, DoseFactor.One, new GridPoint(0, Beyond)) },
        { "lower left", Figure.FromTrapezoid(0, DoseFactor.One, new Trapezoid(0, 20, new GridEdge(new(-Beyond, 0), new(0, 20)), new GridEdge(new(10, 0), new(10, 20)))) },
        { "upper left", Figure.FromTrapezoid(0, DoseFactor.One, new Trapezoid(0, 20, new GridEdge(new(0, 0), new(-Beyond, 20)), new GridEdge(new(10, 0), new(10, 20)))) },
        { "lower right", Figure.FromTrapezoid(0, DoseFactor.One, new Trapezoid(0, 20, new GridEdge(new(0, 0), new(0, 20)), new GridEdge(new(Beyond, 0), new(10, 20)))) },
        { "upper right", Figure.FromTrapezoid(0, DoseFactor.One, new Trapezoid(0, 20, new GridEdge(new(0, 0), new(0, 20)), new GridEdge(new(10, 0), new(Beyond, 20)))) },
    };

    [Theory]
    [MemberData(nameof(OutOfRange))]
    public void Every_point_is_within_range(string which, object figure)
    {
        string fault = FaultOf((Figure)figure);
        Assert.True(fault.EndsWith("is beyond the largest coordinate", StringComparison.Ordinal), $"{which}: {fault}");
    }

    [Fact]
    public void A_negative_layer_is_refused() => Assert.Equal(
        "figure 1: error PC1602: it is on layer number -1, but the document has 1 layers", FaultOf(Square with { Layer = -1 }));

    [Fact]
    public void A_negative_dose_is_refused() => Assert.Equal(
        "figure 1: error PC1602: its dose factor is negative", FaultOf(Square with { DoseFactor = new DoseFactor(-1) }));

    [Fact]
    public void A_kind_that_does_not_exist_is_refused() => Assert.Equal(
        "figure 1: error PC1602: its kind is 99, which does not exist", FaultOf(Square with { Kind = (FigureKind)99 }));

    [Fact]
    public void Sides_that_cross_are_refused() => Assert.StartsWith(
        "figure 1: error PC1602: ",
        FaultOf(Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(10, 0, -10, 20))),
        StringComparison.Ordinal);

    [Fact]
    public void Nothing_has_no_totals() => Assert.Equal(new FigureTotals(0, 0, 0, 0, 0, 0, 0, 0), new FiguresChecker().Totals);
}
