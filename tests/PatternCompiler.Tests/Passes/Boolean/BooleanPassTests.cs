using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Boolean;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Boolean;

public sealed class BooleanPassTests
{
    private static readonly ContourSet LeftSquare = new GridBox(0, 0, 10, 10).ToContourSet();
    private static readonly ContourSet RightSquare = new GridBox(5, 0, 15, 10).ToContourSet();

    [Fact]
    public void Without_operations_every_layer_is_merged_and_lines_stay()
    {
        var both = new ContourSetBuilder();
        both.AddAll(LeftSquare);
        both.AddAll(RightSquare);
        var group = new FlatLayer(0, DoseFactor.One, both.ToContourSet(), [[new(0, 0), new(1, 1)]], [new(2, 2)]);
        LayoutDocument result = BooleanPass.Run(new FlatLayout(100, ["a"], [group]), new BooleanOptions(), new DiagnosticSink(), default);
        Cell cell = Assert.Single(result.Cells);
        Assert.Equal(300, ExactArea.Twice(Assert.IsType<PolygonShape>(cell.Shapes[0]).Contours));
        Assert.IsType<LineShape>(cell.Shapes[1]);
        Assert.IsType<DotShape>(cell.Shapes[2]);
    }

    [Theory]
    [InlineData(BooleanOperation.Union, 150)]
    [InlineData(BooleanOperation.Intersection, 50)]
    [InlineData(BooleanOperation.Difference, 50)]
    [InlineData(BooleanOperation.SymmetricDifference, 100)]
    internal void Operations_combine_layers(BooleanOperation operation, int area)
    {
        LayoutDocument result = Run(operation, "c", 1);
        Assert.Equal<string>(["a", "b", "c"], result.Layers);
        var shape = Assert.IsType<PolygonShape>(Assert.Single(result.Cells[0].Shapes));
        Assert.Equal(2, shape.Layer);
        Assert.Equal(2 * area, ExactArea.Twice(shape.Contours));
    }

    [Fact]
    public void Dose_factors_survive_and_do_not_overlap()
    {
        LayoutDocument result = Run(BooleanOperation.Union, "a", 2);
        Assert.Equal(
            [(1.0, 100), (2.0, 50)],
            result.Cells[0].Shapes.Cast<PolygonShape>().Select(s => (s.DoseFactor.Value, (int)(ExactArea.Twice(s.Contours) / 2))));
    }

    [Fact]
    public void A_layer_is_inverted_within_a_frame()
    {
        LayoutDocument result = BooleanPass.Run(
            new FlatLayout(100, ["a"], [new(0, DoseFactor.FromValue(2), LeftSquare, [], [])]),
            new BooleanOptions { Operations = [new("tone", BooleanOperation.Difference, "", "a") { Frame = new GridBox(-10, -10, 20, 20) }] },
            new DiagnosticSink(),
            default);
        var shape = Assert.IsType<PolygonShape>(Assert.Single(result.Cells[0].Shapes));
        Assert.Equal(2 * ((30 * 30) - (10 * 10)), ExactArea.Twice(shape.Contours));
        Assert.Equal(DoseFactor.One, shape.DoseFactor);
    }

    [Fact]
    public void An_unknown_layer_is_named_with_the_known_ones()
    {
        var options = new BooleanOptions { Operations = [new("c", BooleanOperation.Union, "a", "B")] };
        var error = Assert.Throws<CompileException>(
            () => BooleanPass.Run(new FlatLayout(100, ["a", "b"], []), options, new DiagnosticSink(), default));
        Assert.Equal("error PC1001: there is no layer \"B\"; use one of: \"a\", \"b\"", error.Message);
    }

    /// <summary>Lines and dots are lost with their layer, or where areas take its place; layers that stay keep theirs.</summary>
    [Theory]
    [InlineData("c", false, new string[0], 3)]
    [InlineData("c", true, new string[0], 0)]
    [InlineData("a", true, new string[0], 2)]
    [InlineData("c", true, new[] { "c" }, 3)]
    [InlineData("c", true, new[] { "c", "a" }, 1)]
    public void Lines_are_told_of_where_they_are_lost(string result, bool keepsOthers, string[] written, int lost)
    {
        var sink = new DiagnosticSink();
        FlatLayout input = new(
            100,
            ["a", "b"],
            [new(0, DoseFactor.One, LeftSquare, [[new(0, 0), new(5, 5)]], [new(9, 9)]), new(1, DoseFactor.One, RightSquare, [], [new(7, 7)])]);
        LayoutDocument output = BooleanPass.Run(
            input,
            new BooleanOptions
            {
                // Each layer takes part twice, and is counted once.
                Operations = [new(result, BooleanOperation.Union, "a", "b"), new(result, BooleanOperation.Union, "a", "b")],
                KeepOtherLayers = keepsOthers,
                Written = [.. written],
            },
            sink,
            default);
        int left = output.Cells[0].Shapes.Count(shape => shape is LineShape or DotShape && (written.Length == 0 || written.Contains(output.Layers[shape.Layer])));
        Assert.Equal(3 - lost, left);
        Assert.Equal(
            lost switch
            {
                0 => [],
                1 => ["warning PC1002: 1 line without width or dot on the layers of an operation has no area and takes no part in it; give the lines a width, or keep them on a layer of their own"],
                _ => [$"warning PC1002: {lost} lines without width and dots on the layers of an operation have no area and take no part in it; give the lines a width, or keep them on a layer of their own"],
            },
            sink.Collected.Select(d => d.ToString()));
    }

    private static LayoutDocument Run(BooleanOperation operation, string result, double doseOfSecond) => BooleanPass.Run(
        new FlatLayout(
            100,
            ["a", "b"],
            [new(0, DoseFactor.One, LeftSquare, [], []), new(1, DoseFactor.FromValue(doseOfSecond), RightSquare, [], [])]),
        new BooleanOptions { Operations = [new(result, operation, "a", "b")] },
        new DiagnosticSink(),
        default);
}
