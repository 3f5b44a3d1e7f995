using CsCheck;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Tests.Passes.Order;

public sealed class TravelTilesTests
{
    /// <summary>120 columns of 120 dots, 10 apart; in each column three lie close together: cuts go between columns and threes.</summary>
    private static readonly TravelItem[] Columns =
        [.. Enumerable.Range(0, 14_400).Select(i => TravelItem.Dot(i / 120 * 10, (i % 120 / 3 * 10) + (i % 3)))];

    [Fact]
    public void Every_item_is_in_one_tile_whose_box_holds_its_ends() => Gen.Select(
        Gen.Select(Gen.Int[0, 500], Gen.Int[0, 90], Gen.Int[-20, 20], Gen.Int[-20, 20], (x, y, dx, dy) => new TravelItem(x, y, x + dx, y + dy)).Array[1, 300],
        Gen.Int[10, 100]).Sample(
        (items, most) =>
        {
            var tiles = TravelTiles.Divide(items, null, most);
            int[] members = [.. Enumerable.Range(0, tiles.Count).SelectMany(tile => tiles.ItemsOf(tile).ToArray())];
            return members.Order().SequenceEqual(Enumerable.Range(0, items.Length))
                && Enumerable.Range(0, tiles.Count).All(tile => tiles.FirstOf(tile) == Enumerable.Range(0, tile).Sum(t => tiles.ItemsOf(t).Length))
                && Enumerable.Range(0, tiles.Count).All(tile => tiles.Others(tile).Length == tiles.Count - 1
                    && tiles.Others(tile).Zip(tiles.Others(tile).Skip(1)).All(pair => pair.First.Gap <= pair.Second.Gap)
                    && items.Except(tiles.ItemsOf(tile).ToArray().Select(i => items[i])).All(item => tiles.Others(tile).Any(other => Holds(other.Box, item))));
        },
        iter: Iterations.Usually(200));

    [Fact]
    public void What_lies_close_together_stays_together()
    {
        var tiles = TravelTiles.Divide(Columns, null, 1600);
        Assert.InRange(tiles.Count, 9, 12);
        for (int tile = 0; tile < tiles.Count; tile++)
        {
            int[] members = tiles.ItemsOf(tile).ToArray();
            Assert.All(members.GroupBy(i => i / 3), three => Assert.Equal(3, three.Count()));
        }
    }

    [Theory]
    [InlineData(-10, -10, 0)]
    [InlineData(2000, -10, 119 * 120)]
    [InlineData(-10, 900, 119)]
    [InlineData(2000, 900, 14_399)]
    public void The_first_tile_is_that_of_the_corner_nearest_to_the_start(double x, double y, int corner)
    {
        var tiles = TravelTiles.Divide(Columns, (x, y), 1600);
        Assert.Contains(corner, tiles.ItemsOf(0).ToArray());
        Assert.Null(tiles.EntryOf(0));
        Assert.Null(tiles.ExitOf(tiles.Count - 1));
    }

    /// <summary>From each tile to the next: the gate is no farther from either than a column or a three is from its neighbour.</summary>
    [Fact]
    public void Gates_lie_between_the_tiles_that_they_join()
    {
        var tiles = TravelTiles.Divide(Columns, (1000, -20), 1600);
        for (int tile = 0; tile + 1 < tiles.Count; tile++)
        {
            (double x, double y) = tiles.ExitOf(tile)!.Value;
            Assert.Equal((x, y), tiles.EntryOf(tile + 1));
            Assert.All([tile, tile + 1], side => Assert.InRange(TravelBox.Of(Array.ConvertAll(tiles.ItemsOf(side).ToArray(), i => Columns[i])).DistanceTo(x, y), 0, 10));
        }
    }

    /// <summary>
    /// Two shares of 160: a sixteenth of a share to either side is near. One wide gap lies at every place once, one half as wide at the
    /// even cut, which takes it where the wide one is not near.
    /// </summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_cut_goes_to_the_widest_gap_near_the_even_share(bool across)
    {
        const int Items = 320, Even = 160, Slack = 10;
        for (int wide = 1; wide < Items; wide++)
        {
            TravelItem[] items = [.. Enumerable.Range(0, Items).Select(i => i + (i >= Even ? 20 : 0) + (i >= wide ? 40 : 0)).Select(at => across ? TravelItem.Dot(at, 0) : TravelItem.Dot(0, at))];
            var tiles = TravelTiles.Divide(items, null, Even);
            int cut = Math.Abs(wide - Even) <= Slack ? wide : Even;
            int own = Enumerable.Range(0, tiles.Count).First(tile => tiles.ItemsOf(tile).Contains(cut));
            Assert.Equal(cut, tiles.FirstOf(own));
            Assert.Equal(cut, tiles.ItemsOf(own).ToArray().Min());
        }
    }

    /// <summary>Where no gap is wider than another, shares are even, rounded down.</summary>
    [Theory]
    [InlineData(320, 160, new[] { 0, 160 })]
    [InlineData(321, 160, new[] { 0, 107, 214 })]
    [InlineData(1000, 300, new[] { 0, 250, 500, 750 })]
    [InlineData(300, 300, new[] { 0 })]
    public void Items_of_one_place_are_divided_evenly(int count, int most, int[] firsts)
    {
        var tiles = TravelTiles.Divide(Enumerable.Repeat(TravelItem.Dot(7, 5), count).ToArray(), null, most);
        Assert.Equal(firsts, Enumerable.Range(0, tiles.Count).Select(tiles.FirstOf));
    }

    [Fact]
    public void Boxes_tell_how_far_away_they_are()
    {
        var box = new TravelBox(1, 2, 5, 4);
        Assert.Equal(0, box.DistanceTo(3, 3));
        Assert.Equal(5, box.DistanceTo(-2, -2));
        Assert.Equal(5, box.DistanceTo(8, 8));
        Assert.Equal(2, box.DistanceTo(3, 6));
        Assert.Equal(5, box.DistanceTo(new TravelBox(8, 8, 9, 9)));
        Assert.Equal(5, new TravelBox(8, 8, 9, 9).DistanceTo(box));
        Assert.Equal(0, box.DistanceTo(new TravelBox(4, 3, 9, 9)));
        Assert.Equal(new TravelBox(1, 2, 9, 9), box.With(new TravelBox(8, 8, 9, 9)));
        Assert.Equal(new TravelBox(1, 2, 5, 4), TravelBox.Of([new TravelItem(5, 2, 1, 3), TravelItem.Dot(2, 4)]));
    }

    private static bool Holds(in TravelBox box, in TravelItem item) =>
        box.DistanceTo(item.EntryX, item.EntryY) == 0 && box.DistanceTo(item.ExitX, item.ExitY) == 0;
}
