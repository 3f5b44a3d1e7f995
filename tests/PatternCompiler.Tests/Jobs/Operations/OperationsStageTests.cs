using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Geometry;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Tests.Jobs.Operations;

public sealed class OperationsStageTests
{
    private const string Drawing = """
        layout 1
        unit nm
        grid 1 nm
        layer a
        layer b
        rect on a from (0, 0) to (100, 100)
        rect on b from (50, 0) to (150, 100) dose 1.5
        """;

    private static Dictionary<string, double> AreasAfter(string operations)
    {
        Job job = JobFile.Parse($"job: test\n{operations}\n", "j.yaml");
        LayoutDocument layout = LayoutReader.Read(
            new MemoryStream(Encoding.UTF8.GetBytes(Drawing)), "d.layout", DrawingOptions.Default, new DiagnosticSink());
        LayoutDocument result = LayoutStage.Place(job, layout, new DiagnosticSink(), CancellationToken.None);
        FlatLayout flat = FlattenPass.Run(result, FlattenOptions.Default, new DiagnosticSink(), CancellationToken.None);
        return flat.Groups.ToDictionary(
            group => $"{flat.LayerNames[group.Layer]} {group.DoseFactor}", group => (double)ExactArea.Twice(group.Area) / 2);
    }

    // Two squares of 100 by 100 nm that share half of their area: union 15000, intersection 5000, and so on by hand.
    [Theory]
    [InlineData("a inside b", "c 1", 5000)]
    [InlineData("b inside a", "c 1.5", 5000)]
    [InlineData("a without b", "c 1", 5000)]
    [InlineData("frame 10 nm around a without a", "c 1", 4400)]
    [InlineData("rectangle (0 nm, 0 nm) (200 nm, 200 nm) without (a with b)", "c 1", 25000)]
    [InlineData("a grown by 10 nm", "c 1", 14400)]
    [InlineData("a shrunk by 10 nm", "c 1", 6400)]
    [InlineData("a grown by 10 nm without a", "c 1", 4400)]
    [InlineData("(a inside b) grown by 5 nm inside a", "c 1", 5500)]
    [InlineData("a", "c 1", 10000)]
    public void Makes_the_area_that_the_words_say(string words, string group, double area) =>
        Assert.Equal(new Dictionary<string, double> { [group] = area }, AreasAfter($"operations: [{{layer: c, from: '{words}'}}]\nwrite: c"));

    [Fact]
    public void A_union_keeps_the_dose_of_both() => Assert.Equal(
        new Dictionary<string, double> { ["c 1"] = 10000, ["c 1.5"] = 5000 },
        AreasAfter("operations: [{layer: c, from: a with b}]\nwrite: c"));

    // What is left of a is 50 by 100 nm; the frame around it is 60 by 110 nm.
    [Fact]
    public void A_later_operation_sees_the_results_of_earlier_ones() => Assert.Equal(
        new Dictionary<string, double> { ["a 1"] = 5000, ["b 1.5"] = 10000, ["d 1"] = 1600 },
        AreasAfter("operations: [{layer: a, from: a without b}, {layer: d, from: frame 5 nm around a without a}]\nwrite: [a, d, b]"));

    [Fact]
    public void A_bias_moves_the_edges_of_every_layer_but_those_with_their_own() => Assert.Equal(
        new Dictionary<string, double> { ["a 1"] = 110 * 110, ["b 1.5"] = 90 * 90 },
        AreasAfter("bias: 5 nm\nlayers: [{layer: b, bias: -5 nm}]"));

    // A square of 100 nm grown by 10 nm with round corners: area + perimeter * d + pi * d^2 (J. Steiner, 1840), and the
    // polygon in place of the four arcs is smaller by at most 4 * 1 nm * arc length.
    [Fact]
    public void Round_corners_follow_the_formula_of_Steiner()
    {
        double area = AreasAfter("bias: {distance: 10 nm, corners: round}\nwrite: a")["a 1"];
        Assert.InRange(area, 10_000 + 4_000 + (Math.PI * 100) - (2 * Math.PI * 10), 10_000 + 4_000 + (Math.PI * 100) + 1);
    }

    [Fact]
    public void Layers_can_be_chosen_without_operations() =>
        Assert.Equal(new Dictionary<string, double> { ["b 1.5"] = 10000 }, AreasAfter("write: b"));

    [Theory]
    [InlineData("operations: [{layer: c, from: a without x}]\nwrite: c", "error PC0120: the job asks for layer 'x', but there is none of this name; did you mean 'a'?")]
    [InlineData("operations: [{layer: c, from: frame 1 um around x without a}]\nwrite: c", "error PC0120: the job asks for layer 'x', but there is none of this name; did you mean 'a'?")]
    [InlineData("operations: [{layer: c, from: a without b}]\nwrite: pads", "error PC0120: the job asks for layer 'pads', but there is none of this name; there are 'a', 'b', 'c'")]
    [InlineData("operations: [{layer: c, from: a}]", "j.yaml:2:13: error PC0113: a job with 'operations' must say which layers it writes, or the layers that they are made from would be written, too; add 'write: [c]'")]
    [InlineData("operations: [{layer: c, from: a without a}, {layer: d, from: frame 1 um around c}]\nwrite: d", "error PC0123: there is no area on layer 'c' to put a frame around")]
    public void Faults_are_named(string operations, string expected) =>
        Assert.Equal(expected, Assert.Throws<CompileException>(() => AreasAfter(operations)).Message.Split('\n')[0]);
}
