using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.FrontEnds.Dxf.Lowering;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;
using static PatternCompiler.Tests.FrontEnds.Dxf.DxfTest;

namespace PatternCompiler.Tests.FrontEnds.Dxf;

/// <summary>Closed outlines within others, and layers that are hidden: choices that change the area are told.</summary>
public sealed class DxfNestingTests
{
    private const string Outer = "CIRCLE 8 a 10 0 20 0 40 5";
    private const string Inner = "CIRCLE 8 a 10 0.5 20 0 40 3";
    private const string Told =
        "a.dxf:26 (CIRCLE on layer a): warning PC0387: a closed outline lies within another one of its layer; each is filled, so that it adds nothing; "
        + "say what is meant with --nested-outlines ('nested_outlines' in the job): holes or filled";

    [Fact]
    public void A_circle_in_a_circle_is_told_once_unless_something_is_said()
    {
        string text = Drawing(Outer, Inner, "CIRCLE 8 a 10 0 20 0 40 1", "CIRCLE 8 b 10 0 20 0 40 1");
        Assert.Equal(Told, Assert.Single(Messages(text), m => m.Contains("PC0387", StringComparison.Ordinal)));
        foreach (NestedOutlines said in Enum.GetValues<NestedOutlines>())
        {
            Assert.DoesNotContain(Messages(text, new DrawingOptions { NestedOutlines = said }), m => m.Contains("PC0387", StringComparison.Ordinal));
        }
    }

    [Theory]
    [InlineData(Outer, "CIRCLE 8 b 10 0 20 0 40 1")]
    [InlineData(Outer, "CIRCLE 8 a 10 4.2 20 4.2 40 0.2")]
    [InlineData("LWPOLYLINE 8 a 90 3 70 1 10 0 20 0 10 10 20 0 10 0 20 10", "CIRCLE 8 a 10 8 20 8 40 1")]
    [InlineData(Outer, Outer)]
    public void Outlines_beside_each_other_are_not(string first, string second) =>
        Assert.DoesNotContain(Messages(Drawing(first, second)), m => m.Contains("PC0387", StringComparison.Ordinal));

    // Against brute force, for boxes of all sizes.
    [Fact]
    public void One_is_found_if_and_only_if_there_is_one() =>
        Gen.Select(Gen.Int[-1000, 1000], Gen.Int[-1000, 1000], Gen.Int[1, 10], Gen.Int[1, 300], Gen.Int[1, 300]).Array[1, 12].Sample(boxes =>
        {
            var nesting = new OutlineNesting();
            RectangleShape[] shapes = [.. boxes.Select(b => new RectangleShape(0, DoseFactor.One, b.Item1, b.Item2, b.Item1 + Math.Max(1, b.Item4 >> b.Item3), b.Item2 + Math.Max(1, b.Item5 >> (b.Item3 / 2))))];
            foreach (RectangleShape shape in shapes)
            {
                nesting.Add(shape, new EntityOrigin("X", "a", 0, 1));
            }

            bool exists = shapes.Any(inner => shapes.Any(outer =>
                outer.XLeft < inner.XLeft && outer.YBottom < inner.YBottom && outer.XRight > inner.XRight && outer.YTop > inner.YTop));
            Assert.Equal(exists, nesting.Find() is not null);
        }, iter: Iterations.Usually(3000));

    [Theory]
    [InlineData("70 0 62 -7", "off")]
    [InlineData("70 1 62 7", "frozen")]
    public void A_hidden_layer_that_is_asked_for_says_so(string flags, string state)
    {
        string text = $"0 SECTION 2 TABLES 0 TABLE 2 LAYER 0 LAYER 2 Pads {flags} 0 ENDTAB 0 ENDSEC ".Replace(' ', '\n') + Drawing(Outer, "CIRCLE 8 PADS 10 0 20 0 40 1");
        Assert.Equal(
            $"a.dxf: error PC0386: layer pads was asked for, but the layer is {state} in the drawing: nothing of it would be exposed; show it in the drawing, or do not ask for it",
            Error(text, new DrawingOptions { Layers = ["a", "pads"] }));
    }

    // In a block, on layer 0, on layers that are hidden or not asked for.
    [Fact]
    public void What_cannot_be_read_is_lost_only_where_it_would_be_exposed()
    {
        string text = WithBlocks(
            ["BLOCK 2 PAD 10 0 20 0", "CIRCLE 8 a 10 0 20 0 40 1", "3DSOLID 8 0 1 x", "TEXT 8 notes 1 x", "ENDBLK", "BLOCK 2 UNUSED 10 0 20 0", "3DSOLID 8 a 1 x", "ENDBLK"],
            "INSERT 8 a 2 PAD 10 0 20 0", "INSERT 8 b 2 PAD 10 9 20 0", "INSERT 8 a 2 PAD 10 0 20 9", "IMAGE 8 c 67 1", "RAY 8 a 10 0 20 0");
        Assert.Equal(
            ["1 3DSOLID on layer a (a type that is not read)", "2 TEXT on layer notes (text is not read as strokes), first one here", "1 3DSOLID on layer b (a type that is not read)"],
            Lost(text, []));
        Assert.Equal(["1 3DSOLID on layer a (a type that is not read)"], Lost(text, ["a"]));
    }

    private static string[] Lost(string text, string[] layers)
    {
        var sink = new DiagnosticSink();
        Read(text, new DrawingOptions { Layers = [.. layers] }, sink);
        return [.. sink.Collected.Where(d => d.Code.Kind == DiagnosticKind.Loss).Select(d => d.Message["not exposed: ".Length..])];
    }
}
