using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Prediction.Shapes;

public class NetCheckTests
{
    // Micrometres: two strips on one layer, joined pieces on two.
    private static readonly FlatLayout Layout = new(1000, ["pads", "fingers"],
    [
        new FlatLayer(0, DoseFactor.One, Areas([0, 0, 10_000, 2000], [0, 5000, 10_000, 7000]), [], []),
        new FlatLayer(1, DoseFactor.One, Areas([10_000, 500, 12_000, 1500]), [], []),
    ]);

    [Fact]
    public void Areas_that_share_an_edge_across_layers_hang_together() =>
        NetCheck.RequireDrawn(Layout, [Net("a", (1, 1), (11.5, 1)), Net("b", (1, 6))], WorkLimits.Usual, CancellationToken.None);

    [Theory]
    [InlineData("a: 1 1; b: 13 1", "job.yaml:2: error PC0175: the net 'b' names (13, 1) um, where no area is drawn; the nearest area is on layer 'fingers', 1 um away at (12, 1) um")]
    [InlineData("a: 1 1, 1 6", "job.yaml:1: error PC0176: the net 'a' does not hang together: no drawn area leads from (1, 1) um to (1, 6) um; fix the drawing, or make it two nets")]
    [InlineData("a: 1 1; b: 11.5 1", "job.yaml:2: error PC0177: the nets 'a' and 'b' are drawn as one: a drawn area leads from (1, 1) um to (11.5, 1) um; fix the drawing, or make them one net")]
    public void What_is_drawn_wrong_is_an_error(string nets, string expected)
    {
        CompileException fault = Assert.Throws<CompileException>(() => NetCheck.RequireDrawn(Layout, Parse(nets), WorkLimits.Usual, CancellationToken.None));
        Assert.Equal(expected, fault.Diagnostic.ToString());
    }

    [Fact]
    public void Printed_nets_part_join_and_vanish()
    {
        ImmutableArray<Net> nets = [Net("a", (1, 1), (11.5, 1)), Net("b", (1, 6)), Net("c", (20, 20))];
        Assert.Equal(
            ["a 2 0 b", "b 1 0 a", "c 0 1 "],
            NetCheck.Judge(Areas([0, 0, 3000, 2000], [0, 2000, 3000, 7000], [11_000, 0, 12_000, 2000]), 1000, nets)
                .Select(net => $"{net.Name} {net.Parts} {net.BarePoints} {string.Join(",", net.JoinedWith)}").ToArray());
        Assert.True(NetCheck.Judge(Areas([0, 0, 12_000, 2000]), 1000, [nets[0]])[0].IsSound);

        // A point in a hole of a printed area lies outside every area.
        ContourSet holed = RegionBoolean.Compute(Areas([0, 0, 9000, 9000]), Areas([500, 500, 1500, 1500]), BooleanOperation.Difference);
        Assert.Equal(1, NetCheck.Judge(holed, 1000, [Net("a", (1, 1))])[0].BarePoints);
    }

    private static ImmutableArray<Net> Parse(string text) =>
    [
        .. text.Split("; ").Select((net, line) => new Net(
            net.Split(": ")[0],
            [
                .. net.Split(": ")[1].Split(", ").Select(point => point.Split(' ')).Select(p => new NetPoint(
                    1000 * double.Parse(p[0], System.Globalization.CultureInfo.InvariantCulture),
                    1000 * double.Parse(p[1], System.Globalization.CultureInfo.InvariantCulture),
                    new SourcePlace("job.yaml", line + 1))),
            ])),
    ];

    private static Net Net(string name, params (double X, double Y)[] points) =>
        new(name, [.. points.Select(p => new NetPoint(1000 * p.X, 1000 * p.Y, new SourcePlace("job.yaml", 1)))]);

    private static ContourSet Areas(params int[][] rectangles)
    {
        var rings = new ContourSetBuilder();
        foreach (int[] r in rectangles)
        {
            rings.AddRing([new(r[0], r[1]), new(r[2], r[1]), new(r[2], r[3]), new(r[0], r[3])]);
        }

        return RegionBoolean.Merge(rings.ToContourSet());
    }
}
