using System.Globalization;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Tests.FrontEnds.Layout;

namespace PatternCompiler.Tests.Passes.Fracture;

public sealed class LineOverlapTests
{
    [Theory]
    [InlineData("0,0 10,0 | 0,0 10,0", "0,0 10,0")]
    [InlineData("0,0 10,0 | 10,0 0,0", "0,0 10,0")]
    [InlineData("0,0 10,0 | 5,0 20,0", "0,0 10,0 | 10,0 20,0")]
    [InlineData("0,0 10,0 | 20,0 5,0", "0,0 10,0 | 20,0 10,0")]
    [InlineData("5,0 10,0 | 0,0 20,0", "5,0 10,0 | 0,0 5,0 | 10,0 20,0")]
    [InlineData("5,0 10,0 | 20,0 0,0", "5,0 10,0 | 20,0 10,0 | 5,0 0,0")]
    [InlineData("3,0 5,0 | 7,0 9,0 | 0,0 7,0", "3,0 5,0 | 7,0 9,0 | 0,0 3,0 | 5,0 7,0")]
    [InlineData("0,0 6,9 | 2,3 4,6", "0,0 6,9")]
    [InlineData("0,0 0,9 | 0,3 0,12", "0,0 0,9 | 0,9 0,12")]
    [InlineData("0,0 10,0 | 10,0 20,0", "0,0 10,0 | 10,0 20,0")] // they touch
    [InlineData("0,0 10,10 | 0,10 10,0", "0,0 10,10 | 0,10 10,0")] // they cross
    [InlineData("0,0 10,0 | 0,1 10,1", "0,0 10,0 | 0,1 10,1")] // beside each other
    [InlineData("0,0 10,0 | 3,0 3,0", "0,0 10,0 | 3,0 3,0")] // a line without length is left to others
    public void What_runs_along_a_line_is_written_once(string lines, string expected) => Assert.Equal(expected, Print(Overlaps(Parse(lines)).Merge()));

    // Against brute force: on each unit of a straight line, the first line that covers it.
    [Fact]
    public void Every_place_is_covered_once() => Gen.Select(Gen.Int[0, 2], Gen.Int[0, 12], Gen.Int[0, 12]).Array[1, 9].Sample(lines =>
    {
        (GridPoint From, GridPoint To)[] drawn = [.. lines.Select(l => (On(l.Item1, l.Item2), On(l.Item1, l.Item3)))];
        LineOverlaps overlaps = Overlaps(drawn);
        Dictionary<(GridPoint, GridPoint), int> before = Units(drawn);
        Dictionary<(GridPoint, GridPoint), int> after = Units(overlaps.Merge());
        Assert.Equal(before.Keys.Order(Comparer<(GridPoint, GridPoint)>.Create(Compare)), after.Keys.Order(Comparer<(GridPoint, GridPoint)>.Create(Compare)));
        Assert.All(after.Values, count => Assert.Equal(1, count));
        Assert.Equal(before.Values.Any(count => count > 1), overlaps.Count > 0);
    }, iter: Iterations.Usually(2000));

    [Fact]
    public void A_hundred_thousand_lines_along_each_other_take_no_time()
    {
        // First every other one, then those between that overlap both neighbours.
        var overlaps = new LineOverlaps();
        for (int pass = 0; pass < 2; pass++)
        {
            for (int i = pass; i < 100_000; i += 2)
            {
                overlaps.Add(new(i * 10, 0), new((i * 10) + 12, 0));
            }
        }

        Assert.Equal(100_000, overlaps.Merge().Count());
        Assert.Equal(50_000, overlaps.Count);
        Assert.Equal((4 * 50_000) - 2.0, overlaps.Length, 1e-6);
    }

    [Fact]
    public void The_pass_tells_what_it_wrote_once()
    {
        var sink = new DiagnosticSink();
        FlatLayout flat = FlattenPass.Run(
            LayoutText.Read("layout 1\nunit um\nlayer a\nline on a (0, 0) (10, 0)\nline on a (5, 0) (12, 0)\nline on a dose 2 (0, 0) (10, 0)\n"), FlattenOptions.Default, sink);
        Assert.Equal(3, FracturePass.Run(flat, new FractureOptions(), sink, default).Figures.Count);
        Assert.Equal(
            ["layer a at (7.5, 0) um: note PC1108: 1 line of layer a runs along lines drawn before, over 5 um in all, first from (5, 0) to (10, 0) um; that length is written once"],
            sink.Collected.Select(d => d.ToString()));
    }

    private static GridPoint On(int direction, int place) => direction switch { 0 => new(place, 0), 1 => new(3, place), _ => new(2 * place, 3 * place) };

    private static Dictionary<(GridPoint, GridPoint), int> Units(IEnumerable<(GridPoint From, GridPoint To)> lines)
    {
        var units = new Dictionary<(GridPoint, GridPoint), int>();
        foreach ((GridPoint from, GridPoint to) in lines)
        {
            int count = Math.Max(Math.Abs(to.X - from.X), Math.Abs(to.Y - from.Y));
            count = from.X != to.X && from.Y != to.Y ? Math.Abs(to.X - from.X) / 2 : count;
            GridPoint[] points = [.. Enumerable.Range(0, count + 1).Select(i => count == 0 ? from : new GridPoint(from.X + ((to.X - from.X) / count * i), from.Y + ((to.Y - from.Y) / count * i)))];
            foreach ((GridPoint a, GridPoint b) in points.Zip(points.Skip(1)))
            {
                var key = Compare((a, b), (b, a)) < 0 ? (a, b) : (b, a);
                units[key] = units.GetValueOrDefault(key) + 1;
            }
        }

        return units;
    }

    private static int Compare((GridPoint, GridPoint) a, (GridPoint, GridPoint) b) =>
        (a.Item1.X, a.Item1.Y, a.Item2.X, a.Item2.Y).CompareTo((b.Item1.X, b.Item1.Y, b.Item2.X, b.Item2.Y));

    private static LineOverlaps Overlaps((GridPoint From, GridPoint To)[] lines)
    {
        var overlaps = new LineOverlaps();
        foreach ((GridPoint from, GridPoint to) in lines)
        {
            overlaps.Add(from, to);
        }

        return overlaps;
    }

    private static (GridPoint From, GridPoint To)[] Parse(string text) => [.. text.Split(" | ").Select(line =>
    {
        GridPoint[] ends = [.. line.Split(' ').Select(p => Point(p.Split(',')))];
        return (ends[0], ends[1]);
    })];

    private static GridPoint Point(string[] coordinates) =>
        new(int.Parse(coordinates[0], CultureInfo.InvariantCulture), int.Parse(coordinates[1], CultureInfo.InvariantCulture));

    private static string Print(IEnumerable<(GridPoint From, GridPoint To)> lines) =>
        string.Join(" | ", lines.Select(l => $"{l.From.X},{l.From.Y} {l.To.X},{l.To.Y}"));
}
