using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Offset;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Offset;

public sealed class OffsetPassTests
{
    private static readonly FlatLayout Layout = new(
        100,
        ["bars", "pads"],
        [Group(0, new GridBox(0, 0, 1000, 1000)), Group(1, new GridBox(0, 0, 1000, 1000))]);

    [Fact]
    public void Each_layer_moves_by_its_own_distance_in_nanometres()
    {
        FlatLayout result = Run(new LayerOffset(null, 1), new LayerOffset("pads", -10));
        Assert.Equal(2 * 1020 * 1020, ExactArea.Twice(result.Groups[0].Area));
        Assert.Equal(2 * 800 * 800, ExactArea.Twice(result.Groups[1].Area));
    }

    [Fact]
    public void Overlapping_shapes_do_not_move_their_inner_borders()
    {
        var two = new ContourSetBuilder();
        two.AddAll(new GridBox(0, 0, 100, 100).ToContourSet());
        two.AddAll(new GridBox(100, 0, 200, 100).ToContourSet());
        FlatLayout layout = Layout with { Groups = [new FlatLayer(0, DoseFactor.One, two.ToContourSet(), [], [])] };
        FlatLayout result = OffsetPass.Run(layout, new OffsetOptions { Offsets = [new(null, -1)] }, new DiagnosticSink(), default);
        Assert.Equal(2 * 180 * 80, ExactArea.Twice(result.Groups[0].Area));
    }

    // Areas of a straight line of length 1000 and of a dot, grown by 50: 2·d·l, with square ends 2·d·(l + 2·d), with round
    // ones 2·d·l + π·d²; the dot is a square of 2·d or a disc.
    [Theory]
    [InlineData(PathCap.Flat, 100_000 + 10_000)]
    [InlineData(PathCap.Square, 110_000 + 10_000)]
    [InlineData(PathCap.Round, 107_854 + 7854)]
    internal void Lines_and_dots_grow_into_areas(PathCap ends, double area)
    {
        var group = new FlatLayer(0, DoseFactor.One, ContourSet.Empty, [[new(0, 0), new(600, 0), new(1000, 0)]], [new(0, 500)]);
        FlatLayout layout = Layout with { Groups = [group] };
        FlatLayer grown = Assert.Single(OffsetPass.Run(
            layout, new OffsetOptions { Offsets = [new(null, 5)], LineEnds = ends, ChordErrorNanometres = 0.01 }, new DiagnosticSink(), default).Groups);
        Assert.InRange((double)ExactArea.Twice(grown.Area) / 2, area * 0.996, area * 1.001);
        Assert.Equal((0, 0), (grown.Lines.Length, grown.Dots.Length));
        FlatLayer left = Assert.Single(OffsetPass.Run(layout, new OffsetOptions { Offsets = [new(null, 5)] }, new DiagnosticSink(), default).Groups);
        Assert.Equal((1, 1), (left.Lines.Length, left.Dots.Length));
    }

    [Fact]
    public void A_layer_that_vanishes_is_a_warning()
    {
        var sink = new DiagnosticSink();
        OffsetPass.Run(Layout, new OffsetOptions { Offsets = [new("bars", -50)] }, sink, default);
        Assert.Equal(
            "warning PC1003: nothing is left of layer \"bars\" (dose factor 1) after it shrinks by 50 nm; " +
            "shrink less: features narrower than twice the distance vanish",
            Assert.Single(sink.Collected).ToString());
    }

    [Fact]
    public void An_unknown_layer_is_an_error() =>
        Assert.Equal(
            "error PC1001: there is no layer \"Bars\"; use one of: \"bars\", \"pads\"",
            Assert.Throws<CompileException>(() => Run(new LayerOffset("Bars", 1))).Message);

    [Fact]
    public void Growing_beyond_the_range_is_an_error()
    {
        FlatLayout layout = Layout with { Groups = [Group(0, new GridBox(0, 0, GridPoint.Limit, 5))] };
        Assert.Equal(
            "error PC1004: layer \"bars\" grows beyond the largest coordinate, 1073741823 grid steps; offset by less, or use a coarser grid",
            Assert.Throws<CompileException>(() => OffsetPass.Run(layout, new OffsetOptions { Offsets = [new(null, 1)] }, new DiagnosticSink(), default)).Message);
    }

    private static FlatLayer Group(int layer, GridBox box) => new(layer, DoseFactor.One, box.ToContourSet(), [], []);

    private static FlatLayout Run(params LayerOffset[] offsets) =>
        OffsetPass.Run(Layout, new OffsetOptions { Offsets = [.. offsets] }, new DiagnosticSink(), default);
}
