using PatternCompiler.Limits;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Prediction.Compare;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Prediction.Compare;

public sealed class DocumentComparerTests
{
    private static readonly FiguresHeader Header = new(100, ["a"]);

    [Fact]
    public void The_first_difference_is_printed_as_the_documents_print_it()
    {
        Figure[] figures = [Rectangle(0, 0, 10, 10), Rectangle(20, 0, 30, 10)];
        DocumentComparison found = DocumentComparer.Figures(
            new FiguresDocument(Header, figures), new FiguresDocument(Header, [figures[0], Rectangle(20, 0, 31, 10)]), WorkLimits.Usual, CancellationToken.None);
        Assert.Equal(new ItemDifference("figure 1", "rect 0 1 20 0 30 10", "rect 0 1 20 0 31 10"), found.Items!.FirstDifference);
        Assert.Equal((1, 1, 1), (found.Items.Differing, found.Items.OnlyInFirst, found.Items.OnlyInSecond));
        Assert.False(found.AreEqual(new CompareOptions()));
        Assert.True(found.AreEqual(new CompareOptions { EdgeToleranceNanometres = 0.1 }));
    }

    [Fact]
    public void Another_order_is_a_difference_unless_it_is_ignored()
    {
        Figure[] figures = [Rectangle(0, 0, 10, 10), Rectangle(20, 0, 30, 10)];
        DocumentComparison found = DocumentComparer.Figures(
            new FiguresDocument(Header, figures), new FiguresDocument(Header, [figures[1], figures[0]]), WorkLimits.Usual, CancellationToken.None);
        Assert.False(found.AreEqual(new CompareOptions()));
        Assert.True(found.AreEqual(new CompareOptions { IgnoresOrder = true }));
    }

    [Fact]
    public void A_trapezoid_cut_otherwise_covers_the_same()
    {
        // The triangle (0,0) (90,0) (0,30), whole and cut at a height where its side crosses a grid point.
        var side = new GridEdge(new GridPoint(90, 0), new GridPoint(0, 30));
        var wall = new GridEdge(new GridPoint(0, 0), new GridPoint(0, 30));
        Figure Part(int bottom, int top) => Figure.FromTrapezoid(0, DoseFactor.One, new Trapezoid(bottom, top, wall, side));
        DocumentComparison found = DocumentComparer.Figures(
            new FiguresDocument(Header, [Part(0, 30)]), new FiguresDocument(Header, [Part(0, 10), Part(10, 30)]), WorkLimits.Usual, CancellationToken.None);
        Assert.Equal(0, Assert.Single(found.Layers).DifferentSquareNanometres);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(10, 0.1)]
    [InlineData(50, 0.5)]
    [InlineData(100, 1)]
    public void Moving_a_dot_by_part_of_a_cell_moves_that_part_of_its_dose(int nanometres, double moved)
    {
        CollectedDocument<StrokesHeader, Stroke> At(long femtometres)
        {
            var document = new CollectedDocument<StrokesHeader, Stroke>();
            document.Begin(new StrokesHeader(["a"]));
            document.Write([Stroke.Dot(0, femtometres, 0, 1_000_000)]);
            document.End();
            return document;
        }

        DocumentComparison found = DocumentComparer.Strokes(At(0), At(nanometres * 1_000_000L), new CompareOptions(), CancellationToken.None);
        Assert.Equal(moved, found.Exposure!.MovedFraction, 1e-12);
        Assert.Equal(found.Exposure.FirstTotal, found.Exposure.SecondTotal, 1e-27);
    }

    private static Figure Rectangle(int left, int bottom, int right, int top) =>
        Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(left, bottom, right, top));
}
