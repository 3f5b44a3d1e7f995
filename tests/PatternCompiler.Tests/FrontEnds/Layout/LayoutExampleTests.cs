using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Layout.Summary;

namespace PatternCompiler.Tests.FrontEnds.Layout;

/// <summary>The example that the tutorial walks through, and what the tutorial says of it.</summary>
public sealed class LayoutExampleTests
{
    private static readonly string Folder = Path.Combine(Architecture.SourceTree.Root, "examples", "text-layout");

    private static LayoutDocument Read(string text, params (string Name, string Formula)[] parameters)
    {
        var options = new DrawingOptions
        {
            Parameters = parameters.ToImmutableSortedDictionary(p => p.Name, p => p.Formula, StringComparer.Ordinal),
            OpenInclude = (name, _) => new IncludedFile(File.OpenRead(Path.Combine(Folder, name)), name),
        };
        return LayoutReader.Read(new MemoryStream(System.Text.Encoding.UTF8.GetBytes(text)), "sensor.layout", options, new DiagnosticSink());
    }

    [Fact]
    public void The_sensor_has_two_combs_pads_marks_and_a_dose_test()
    {
        LayoutSummary summary = LayoutSummary.Of(Read(File.ReadAllText(Path.Combine(Folder, "sensor.layout"))));
        Assert.Equal(["marks", "electrodes", "pads"], summary.Layers.Select(layer => layer.Name));

        // Two combs of 12 fingers and a spine, and 15 probes of two bars.
        Assert.Equal((2 * 13) + (15 * 2), summary.Layers[1].Rectangles);
        Assert.Equal((0.8, 1.2), (Math.Round(summary.Layers[1].LowestDose, 9), Math.Round(summary.Layers[1].HighestDose, 9)));
        Assert.Equal(500, summary.Layers[1].SmallestFeatureNanometres);
        Assert.Equal(8, summary.Layers[0].Rectangles);
    }

    [Fact]
    public void Parameters_can_be_tried_without_touching_the_file()
    {
        LayoutSummary summary = LayoutSummary.Of(Read(File.ReadAllText(Path.Combine(Folder, "sensor.layout")), ("pitch", "3 um"), ("fingers", "8")));
        Assert.Equal((2 * 9) + (15 * 2), summary.Layers[1].Rectangles);
    }

    [Fact]
    public void The_mistake_of_the_tutorial_is_told_as_it_says()
    {
        string text = File.ReadAllText(Path.Combine(Folder, "sensor.layout")).Replace("size (16", "sise (16", StringComparison.Ordinal);
        string error = Assert.Throws<CompileException>(() => Read(text)).Diagnostic.ToString();
        Assert.Contains(error, File.ReadAllText(Path.Combine(Folder, "README.md")), StringComparison.Ordinal);
    }
}
