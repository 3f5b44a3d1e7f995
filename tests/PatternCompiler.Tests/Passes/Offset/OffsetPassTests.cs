using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
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
