using CsCheck;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Tests.Passes.Order;

/// <summary>What follows in time lies far apart in space.</summary>
public sealed class SpreadOrderTests
{
    /// <summary>Row by row the next is one pitch away. Of very few places some neighbours must follow each other.</summary>
    [Theory]
    [InlineData(5, 5)]
    [InlineData(6, 4)]
    [InlineData(8, 5)]
    [InlineData(7, 1)]
    [InlineData(10, 10)]
    [InlineData(16, 16)]
    public void Neighbours_in_time_are_no_neighbours_in_space(int columns, int rows)
    {
        (double X, double Y)[] places = Grid(columns, rows);
        int[] order = SpreadOrder.Find(places, CancellationToken.None);
        Assert.Equal(0, order[0]);
        Assert.Equal(Enumerable.Range(0, places.Length), order.Order());
        double[] ways = Ways(places, order);
        Assert.True(ways.Min() > 1.4 && ways.Average() > 0.45 * columns, $"the nearest two that follow each other are {ways.Min():0.##} pitches apart, and {ways.Average():0.##} on average");
    }

    /// <summary>Row by row the next is one pitch away; here it is far on average, of many places too.</summary>
    [Theory]
    [InlineData(17, 16)]
    [InlineData(60, 40)]
    [InlineData(300, 200)]
    public void Many_places_take_turns_by_squares(int columns, int rows)
    {
        (double X, double Y)[] places = Grid(columns, rows);
        int[] order = SpreadOrder.Find(places, CancellationToken.None);
        Assert.Equal(Enumerable.Range(0, places.Length), order.Order());
        double[] ways = Ways(places, order);
        Assert.True(ways.Average() > 0.3 * columns, $"on average {ways.Average():0.##} pitches");
        Assert.True(ways.Count(way => way < 2) <= 0.02 * ways.Length, $"{ways.Count(way => way < 2)} of {ways.Length} are neighbours");
    }

    [Fact]
    public void Nothing_is_lost_wherever_places_lie() => Gen.Select(Gen.Int[0, 700], Gen.Int[1, 5], Gen.Int[0, 1_000_000]).Sample(
        (count, kind, seed) =>
        {
            var random = new Random(seed);
            (double, double)[] places = [.. Enumerable.Range(0, count).Select(i => kind switch
            {
                1 => (0.0, 0.0),
                2 => (random.Next(3), 0.0),
                3 => (Math.Pow(10, random.Next(-300, 300)), random.NextDouble()),
                4 => (random.NextDouble() * 1e-9, -random.NextDouble()),
                _ => ((double)random.Next(), (double)random.Next()),
            })];
            Assert.Equal(Enumerable.Range(0, count), SpreadOrder.Find(places, CancellationToken.None).Order());
        },
        iter: Iterations.Usually(100));

    private static (double X, double Y)[] Grid(int columns, int rows) =>
        [.. Enumerable.Range(0, columns * rows).Select(i => ((double)(i % columns), (double)(i / columns)))];

    private static double[] Ways((double X, double Y)[] places, int[] order) =>
        [.. order.Skip(1).Zip(order, (to, from) => Math.Sqrt(Math.Pow(places[to].X - places[from].X, 2) + Math.Pow(places[to].Y - places[from].Y, 2)))];
}
