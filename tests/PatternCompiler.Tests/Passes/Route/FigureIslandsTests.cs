using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Route;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Route;

public sealed class FigureIslandsTests
{
    /// <summary>Two rows of squares that touch corner to corner, one rising and one falling, with a gap between them: two numbers, found in any order.</summary>
    [Theory]
    [InlineData(5)]
    [InlineData(40)]
    public void What_touches_shares_a_number(int count)
    {
        Figure[] figures =
        [
            .. Enumerable.Range(0, count).Select(i => Square(1000 * i, 1000 * i)),
            .. Enumerable.Range(0, count).Select(i => Square(1000 * i, -3000 - (1000 * i))),
            Figure.FromDot(0, DoseFactor.One, new GridPoint(-50_000, 0)),
        ];
        Figure[] mixed = [.. figures.Select((figure, i) => (figure, Order: i * 7919 % 1009)).OrderBy(pair => pair.Order).Select(pair => pair.figure)];
        int[] numbers = FigureIslands.Of(new FiguresDocument(new FiguresHeader(100, ["a"]), mixed));
        foreach (IGrouping<int, Figure> island in numbers.Zip(mixed).GroupBy(pair => pair.First, pair => pair.Second))
        {
            int kind = KindOf(island.First());
            Assert.All(island, figure => Assert.Equal(kind, KindOf(figure)));
        }

        Assert.Equal(3, numbers.Distinct().Count());

        static int KindOf(Figure figure) => figure.Kind == FigureKind.Dot ? 0 : figure.Shape.YBottom >= 0 ? 1 : 2;
    }

    /// <summary>A search that took time with the square of a chain's length, or went down as deep as it is long, would not end here.</summary>
    [Fact]
    public void A_chain_as_long_as_the_pattern_is_one_island()
    {
        const int Count = 200_000;
        int[] numbers = FigureIslands.Of(new FiguresDocument(new FiguresHeader(100, ["a"]), [.. Enumerable.Range(0, Count).Select(i => Square(1000 * i, 1000 * (i % 2)))]));
        Assert.Single(numbers.Distinct());
    }

    private static Figure Square(int left, int bottom) => Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(left, bottom, left + 1000, bottom + 1000));
}
