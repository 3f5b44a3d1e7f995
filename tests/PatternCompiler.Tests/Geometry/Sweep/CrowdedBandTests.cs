using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Tests.Geometry.Sweep;

public class CrowdedBandTests
{
    /// <summary>
    /// Of two sets that crowd about y = 70,000, each with rings elsewhere: all edges whose lower end lies in a band, and none else, in a band
    /// that is no higher than the narrowest that holds a thirty-second of all points.
    /// </summary>
    [Theory]
    [InlineData(500, false)]
    [InlineData(500, true)]
    [InlineData(6000, true)]
    public void The_band_holds_its_share_and_all_edges_that_begin_in_it(int rings, bool hasSecond)
    {
        ContourSet first = Rings(rings, seed: 1);
        ContourSet? second = hasSecond ? Rings(rings / 2, seed: 2) : null;
        InputEdge[] all = EdgeTable.Build(first, second);
        InputEdge[] band = CrowdedBand.Of(first, second, leastPoints: all.Length)!;
        (int low, int high) = (band.Min(edge => edge.LowerY), band.Max(edge => edge.LowerY));
        Assert.InRange(low, 69_000, 71_000);
        Assert.InRange(high, 69_000, 71_000);
        Assert.Equal(all.Where(edge => edge.LowerY >= low && edge.LowerY <= high).Order(Comparer).ToArray(), band.Order(Comparer).ToArray());
        Assert.InRange(band.Length, all.Length / 40, all.Length / 2);

        // Rings are closed: every point is the beginning of one edge.
        int[] heights = [.. Points(first).Concat(second is null ? [] : Points(second)).Select(point => point.Y).Order()];
        int share = heights.Length / 32;
        int narrowest = Enumerable.Range(0, heights.Length - share).Min(i => heights[i + share] - heights[i]);
        Assert.InRange(high - low, 0, rings > 1000 ? narrowest + 2 : narrowest);
        Assert.Null(CrowdedBand.Of(first, second, leastPoints: all.Length + 1));
    }

    /// <summary>A band that would hold more than half of everything saves nothing.</summary>
    [Fact]
    public void Edges_that_all_crowd_are_no_band()
    {
        var builder = new ContourSetBuilder();
        for (int i = 0; i < 300; i++)
        {
            Add(builder, 10 * i, 5);
        }

        ContourSet rows = builder.ToContourSet();
        Assert.Null(CrowdedBand.Of(rows, null, leastPoints: 1));
    }

    private static readonly Comparer<InputEdge> Comparer = Comparer<InputEdge>.Create((a, b) =>
        (a.LowerY, a.LowerX, a.UpperY, a.UpperX, a.Code).CompareTo((b.LowerY, b.LowerX, b.UpperY, b.UpperX, b.Code)));

    private static IEnumerable<GridPoint> Points(ContourSet set) => Enumerable.Range(0, set.Count).SelectMany(i => set[i].ToArray());

    // Triangles, so that x, y, lower and upper ends all differ; a third of them about y = 70,000.
    private static ContourSet Rings(int count, int seed)
    {
        var random = new Random(seed);
        var builder = new ContourSetBuilder();
        for (int i = 0; i < count; i++)
        {
            Add(builder, random.Next(-1_000_000, 0), i % 3 == 0 ? random.Next(69_900, 70_100) : random.Next(-100_000, 100_000));
        }

        return builder.ToContourSet();
    }

    private static void Add(ContourSetBuilder builder, int x, int y)
    {
        builder.Add(new GridPoint(x, y));
        builder.Add(new GridPoint(x + 7, y + 1));
        builder.Add(new GridPoint(x + 3, y + 4));
        builder.EndRing();
    }
}
