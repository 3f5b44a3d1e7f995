using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Layout;
using static PatternCompiler.Tests.FrontEnds.Dxf.DxfTest;

namespace PatternCompiler.Tests.FrontEnds.Dxf;

/// <summary>Drawings written by independent general-purpose libraries; areas by closed form from the sizes in their scripts.</summary>
public sealed class DxfCorpusTests
{
    [Theory]
    [InlineData("R12")]
    [InlineData("R2000")]
    [InlineData("R2004")]
    [InlineData("R2007")]
    [InlineData("R2010")]
    [InlineData("R2013")]
    [InlineData("R2018")]
    public void The_same_sensor_from_every_version_of_the_format(string version)
    {
        var sink = new DiagnosticSink();
        LayoutDocument layout = ReadCorpus($"ezdxf-sensor-{version}.dxf", version == "R12" ? new() { UnitNanometres = 1000 } : null, sink);
        Assert.Equal(["metal", "marks"], layout.Layers.ToArray());
        double stadium = 24 + (Math.PI * 4);
        // Comb: bar 10 × 2 and three fingers 1 × 8.
        Assert.InRange(Area(layout, "metal"), 44 + stadium - (4 * Math.PI * 0.0011), 44 + stadium + 0.001);
        Assert.InRange(Area(layout, "marks"), stadium - (4 * Math.PI * 0.0011), stadium + 0.001);
        var circle = Assert.Single(layout.Cells[^1].Shapes.OfType<CircleShape>());
        Assert.Equal((200_000, 50_000, 30_000), (circle.Centre.X, circle.Centre.Y, circle.Radius));
        Assert.Contains(sink.Collected, d => d.Message == "ignored 1 TEXT on layer notes (layer is off)");
        Assert.Contains(sink.Collected, d => d.Message.EndsWith("1 drawing unit = 1 um: the drawing is 48 × 10 um", StringComparison.Ordinal));
    }

    [Fact]
    public void Shapes_from_dxf_writer()
    {
        LayoutDocument layout = ReadCorpus("dxf-writer-shapes.dxf");
        Assert.Equal(["metal", "outline"], layout.Layers.ToArray());
        // 100 × 60 µm with corners of radius 10 µm: w·h − (4 − π)·r².
        double rounded = 6000 - ((4 - Math.PI) * 100);
        Assert.InRange(Area(layout, "metal"), rounded - (2 * Math.PI * 10 * 0.0011), rounded + 0.01);
        // Right triangle with legs of 100/3 µm; corners are rounded to 0.1 nm, which moves each leg by half a step at most.
        double triangle = 100.0 / 3 * 100 / 3 / 2;
        Assert.InRange(Area(layout, "outline"), triangle - (2 * 33.4 * 0.00005), triangle + (2 * 33.4 * 0.00005));
        var path = layout.Cells[^1].Shapes.OfType<PathShape>().Single();
        Assert.Equal(40_000, path.Width);
        Assert.Equal(new(5_000_000, 5_000_000), layout.Cells[^1].Shapes.OfType<DotShape>().Single().Position);
        Assert.Equal(200_000, layout.Cells[^1].Shapes.OfType<CircleShape>().Single().Radius);
    }

    [Fact]
    public void Grating_from_tarikjabiri()
    {
        LayoutDocument layout = ReadCorpus("tarikjabiri-grating.dxf");
        Assert.Equal(["grating"], layout.Layers.ToArray());
        // 13 lines of 0.4 × 20 µm, the last with 2 × 0.5 scale, and a half disc of radius 4 µm.
        double halfDisc = Math.PI * 8;
        Assert.InRange(Area(layout, "grating"), (13 * 8) + halfDisc - (4 * Math.PI * 0.0011), (13 * 8) + halfDisc + 0.001);
        Instance array = layout.Cells[^1].Instances[0];
        Assert.Equal(12, array.Repetition.Columns);
        Assert.Equal(8000, array.Repetition.ColumnStep.X);
    }
}
