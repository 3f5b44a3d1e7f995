using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Route;
using PatternCompiler.Tests.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Route;

public class RouteSearchTests
{
    /// <summary>
    /// Inside one exposed area the shortest way is straight or slanted, and what is left to pay is known: no cell beside the way is
    /// looked at, along either axis of an oblong area.
    /// </summary>
    [Theory]
    [InlineData(60_000, 25_000)]
    [InlineData(25_000, 60_000)]
    public void A_straight_way_is_found_without_a_look_aside(int width, int height)
    {
        RouteArea area = Filled(width, height);
        Assert.NotEqual(area.Columns, area.Rows);
        int middle = (area.Rows / 2 * area.Columns) + (area.Columns / 2);
        int reach = (Math.Min(area.Columns, area.Rows) / 2) - 4;
        foreach (int step in (int[])[1, -1, area.Columns, -area.Columns, area.Columns + 1, area.Columns - 1, -area.Columns + 1, -area.Columns - 1])
        {
            var search = new RouteSearch(area);
            (int from, int to) = (middle, middle + (reach * step));
            Assert.Equal([from, to], search.Find(from, to, 0.1, long.MaxValue));
            Assert.Equal(reach, search.Looks);
        }
    }

    /// <summary>A way over uneven numbers of columns and rows is straight and slanted, with one bend; the limit of looks ends it.</summary>
    [Fact]
    public void A_way_between_straight_and_slanted_bends_once_and_ends_at_its_limit()
    {
        RouteArea area = Filled(60_000, 25_000);
        int middle = (area.Rows / 2 * area.Columns) + (area.Columns / 2);
        int to = middle + (5 * area.Columns) - 17;
        var search = new RouteSearch(area);
        List<int> way = search.Find(middle, to, 0.1, long.MaxValue);
        long looks = search.Looks;
        Assert.Equal(3, way.Count);
        Assert.Contains(way[1], (int[])[middle - 12, middle + (5 * area.Columns) - 5]);
        Assert.Equal(way, search.Find(middle, to, 0.1, looks));
        Assert.Equal(2 * looks, search.Looks);
        Assert.Empty(search.Find(middle, to, 0.1, looks - 1));
        Assert.Empty(search.Find(-1, to, 0.1, looks));
        Assert.Empty(search.Find(middle, -1, 0.1, looks));
    }

    /// <summary>
    /// The outermost cells of an area that is exposed to its rim are its edge, on all four sides: a way along them goes a cell further in, where a
    /// step is a third as dear: slanted into it, and straight out of it, for the last step is as dear as any on the rim.
    /// </summary>
    [Fact]
    public void A_way_along_the_rim_goes_beside_it()
    {
        RouteArea area = Filled(60_000, 25_000);
        Assert.All(Enumerable.Range(0, area.Columns * area.Rows), cell => Assert.True(area.IsExposed(cell)));
        const int Length = 20;
        int last = area.Columns - 1;
        int top = (area.Rows - 1) * area.Columns;
        (int From, int Along, int Inward)[] rims =
        [
            (5, 1, area.Columns), (top + 5, 1, -area.Columns), (5 * area.Columns, area.Columns, 1), ((5 * area.Columns) + last, area.Columns, -1),
        ];
        foreach ((int from, int along, int inward) in rims)
        {
            int to = from + (Length * along);
            Assert.Equal([from, from + along + inward, to + inward, to], new RouteSearch(area).Find(from, to, 0.1, long.MaxValue));
        }
    }

    private static RouteArea Filled(int width, int height) => new(
        new FiguresDocument(new FiguresHeader(100, ["pattern"]), [FillCase.Rectangle(0, 0, width, height)]), [100], RouteCase.Route, (0, 0, width / 10.0, height / 10.0));
}
