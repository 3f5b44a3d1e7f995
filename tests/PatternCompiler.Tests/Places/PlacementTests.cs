using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Tests.Jobs;

namespace PatternCompiler.Tests.Places;

/// <summary>Whatever is done to a drawing on its way to figures, each figure is traced back to it.</summary>
public sealed class PlacementTests
{
    private const string Two = "layer a\nlayer b\nrect on a at (1, 2) size (4, 1)\nrect on b at (10, 20) size (2, 5)\n";

    [Theory]
    [InlineData("")]
    [InlineData("position: centred")]
    [InlineData("grid: 0.05 nm")]
    [InlineData("fracture: {direction: vertical, largest_figure: 1 um}")]
    [InlineData("bias: -100 nm")]
    public void Each_figure_names_its_rectangle(string keys)
    {
        TracedPattern traced = TracedPattern.Of(Two, keys);
        Assert.All(traced.Numbers, i => Assert.Equal(
            [traced.Figures.Figures[i].Layer == 0 ? "a.layout:5 rect on layer a" : "a.layout:6 rect on layer b"], traced.All(i)));
    }

    [Fact]
    public void A_source_turned_moved_and_renamed_in_the_job()
    {
        MemoryFiles files = new MemoryFiles().With("a.layout", "layout 1\nunit um\n" + Two).With("b.layout", "layout 1\nunit um\ngrid 0.3 nm\nlayer a\nrect on a at (0, 0) size (3, 3)\n");
        TracedPattern traced = TracedPattern.Of(
            files,
            new JobSource("a.layout") { Placement = new SourcePlacement { RotationDegrees = 30, OffsetXNanometres = 70_000, OffsetYNanometres = -5_000, LayerPrefix = "first " } },
            new JobSource("b.layout") { Placement = new SourcePlacement { RotationDegrees = -90 }, Reading = DrawingOptions.Default with { Layers = ["a"] } });
        Assert.Equal(["first a", "first b", "a"], traced.Figures.Header.Layers.ToArray());
        Assert.All(traced.Numbers, i => Assert.Equal(
            [traced.Figures.Figures[i].Layer switch { 0 => "a.layout:5 rect on layer a", 1 => "a.layout:6 rect on layer b", _ => "b.layout:5 rect on layer a" }],
            traced.All(i)));
        Assert.Equal("b.layout:5 (rect on layer a, figure " + (traced.Figures.Figures.Count - 1) + " at (1.5, -1.5) um)", traced[traced.Figures.Figures.Count - 1].ToString());
        Assert.Contains(", figure 0 on layer first a at (", traced[0].ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_layer_that_operations_make()
    {
        TracedPattern traced = TracedPattern.Of(
            "layer a\nlayer b\nlayer c\nrect on a at (0, 0) size (9, 9)\nrect on b at (3, 3) size (1, 1)\nrect on c at (-50, -50) size (200, 200)\ncircle on a at (20, 0) radius 2\n",
            "operations: [{layer: half, from: a without b}, {layer: r, from: half inside c grown by 1 um}], write: [r]");
        Assert.Equal(["r"], traced.Figures.Header.Layers.ToArray());
        Assert.All(traced.Numbers, i => Assert.Equal(
            traced[i].Item!.XNanometres > 15_000
                ? ["a.layout:8 rect on layer c", "a.layout:9 circle on layer a"]
                : ["a.layout:6 rect on layer a", "a.layout:8 rect on layer c"],
            traced.All(i)));
        Assert.Equal("r", traced[0].Item!.Layer);
    }

    /// <summary>In the rim that a bias adds nothing was drawn on the layer; what was drawn there on another one is not what the figure comes from.</summary>
    [Fact]
    public void What_lies_beside_all_shapes_is_near_one_of_its_layer()
    {
        TracedPattern traced = TracedPattern.Of(
            "layer a\nlayer b\nrect on a at (0, 0) size (4, 4)\nrect on b at (-9, -9) size (30, 8.5)\n", "bias: 1 um, fracture: {largest_figure: 0.9 um}");
        int[] rim = [.. traced.Numbers.Where(i => traced.Figures.Figures[i].Layer == 0 && traced[i].Item!.YNanometres < 0)];
        Assert.NotEmpty(rim);
        Assert.All(rim, i => Assert.Equal(["a.layout:5 near rect on layer a"], traced.All(i)));
    }

    [Fact]
    public void Shapes_on_each_other_are_all_named_three_at_most()
    {
        TracedPattern traced = TracedPattern.Of(
            "layer a\nrect on a at (0, 0) size (4, 4)\ncircle on a at (2, 2) radius 1.9\npolygon on a (0, 0) (4, 0) (4, 4)\n  (0, 4)\npath on a width 3 (0, 2) (4, 2)\nring on a at (2, 2) inner 0.1 outer 6\nring on a at (2, 2) inner 30 outer 31\n");
        int middle = traced.Numbers.OrderBy(i => Math.Abs(traced[i].Item!.XNanometres!.Value - 2000) + Math.Abs(traced[i].Item!.YNanometres!.Value - 2500)).First();
        Assert.Equal(["a.layout:4 rect on layer a", "a.layout:5 circle on layer a", "a.layout:6 polygon on layer a"], traced.All(middle));
        Assert.Equal(2, traced[middle].Item!.More);
    }

    [Fact]
    public void The_printed_message_lists_them()
    {
        var place = new SourcePlace("a.dxf", 5, Entity: "CIRCLE 2F on layer a")
        {
            Item = new(ItemKind.Figure, 17) { XNanometres = 12_300, YNanometres = -4500.00004, Also = [new("a.dxf", 9, Entity: "LINE 30 on layer a"), new("b.dxf", 7)], More = 4 },
        };
        Assert.Equal(
            "a.dxf:5 (CIRCLE 2F on layer a, figure 17 at (12.3, -4.5) um): warning PC1206: told; do\n    also drawn by a.dxf:9 (LINE 30 on layer a)\n    also drawn by b.dxf:7\n    and 4 more",
            new Diagnostic(PatternCompiler.Diagnostics.Catalogue.FillCodes.NoDose, Severity.Warning, "told", place, "do").ToString());
    }

    [Fact]
    public void A_line_and_a_dot_are_told_from_the_areas_around_them()
    {
        TracedPattern traced = TracedPattern.Of("layer a\nrect on a at (0, 0) size (4, 4)\nline on a (1, 1) (3, 1) (3, 3)\ndot on a at (2, 2)\n");
        Assert.Equal(
            ["a.layout:4 rect on layer a", "a.layout:5 line on layer a", "a.layout:5 line on layer a", "a.layout:6 dot on layer a"],
            traced.Numbers.SelectMany(traced.All));
    }

    [Fact]
    public void A_figure_of_a_layer_that_nobody_drew_has_its_position_only()
    {
        TracedPattern traced = TracedPattern.Of(
            "layer a\nrect on a at (0, 0) size (4, 4)\n", "operations: [{layer: r, from: \"rectangle (10 um, 0 um) (12 um, 2 um)\"}], write: [r]");
        Assert.Equal("figure 0 on layer r at (11, 1) um", traced[0].ToString());
    }

    /// <summary>30,000 by 30,000 copies: only those near the figure are looked at.</summary>
    [Fact]
    public void One_of_many_copies_is_found_at_once()
    {
        TracedPattern traced = TracedPattern.Of("layer a\nrect on a at (0, 0) size (4, 4)\n");
        var drawn = PatternCompiler.FrontEnds.Layout.LayoutReader.Read(
            new MemoryStream("layout 1\nunit um\nlayer a\ncell c\n  rect on a at (0, 0) size (1, 1)\nend\narray c at (0, 0) rotate 180 columns 30000 rows 30000 column-step (3, 1) row-step (-1, 3)\n"u8.ToArray()),
            "b.layout", DrawingOptions.Default, new DiagnosticSink());
        var search = new PatternCompiler.Places.PlaceSearch(new(drawn, PatternCompiler.Jobs.Compilation.LayerOrigins.None));

        // Column 20,000 and row 7 from 0: (3·20,000 − 7, 20,000 + 3·7), and the copy lies to the lower left of it.
        PatternCompiler.Places.DrawnHere here = search.At(59_992_500, 20_020_500, "a", null);
        Assert.Equal("b.layout:5 (rect on layer a, placed by array in line 7 (column 20001, row 8))", Assert.Single(here.Places).Place.ToString());
        Assert.False(here.IsNear);
        Assert.Single(traced.Numbers);
    }
}
