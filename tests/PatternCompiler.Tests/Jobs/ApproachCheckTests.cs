using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Figures;
using PatternCompiler.Tests.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

/// <summary>An approach of 2 um from the left and below in a field of 100 um by 80 um, where a code is 1.5 nm along x and 1.2 nm along y: figures keep away from these two sides.</summary>
public sealed class ApproachCheckTests
{
    private static readonly Machine Approaching = MachineFile.Parse(
        "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}\ndeflection: {field_width: 100 um, field_height: 80 um}\nsettle: {approach: 2 um}\n"
        + "clock: {rate: 1 MHz, shortest_dwell: 2 ticks, longest_dwell: 1000 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 1 MB/s, buffer: 4 KiB}\n",
        "m.yaml");

    // In steps of 0.1 nm.
    [Theory]
    [InlineData(-480_000, -380_000, true)]
    [InlineData(499_900, 399_900, true)]
    [InlineData(499_900, -380_000, true)]
    [InlineData(-480_000, 399_900, true)]
    [InlineData(-480_010, -380_000, false)]
    [InlineData(-480_000, -380_010, false)]
    [InlineData(-480_010, 399_900, false)]
    [InlineData(499_900, -380_010, false)]
    public void A_figure_is_no_nearer_to_the_left_or_lower_edge_than_its_approach(int x, int y, bool hasRoom)
    {
        var figures = new FiguresDocument(
            new FiguresHeader(100, ["pads", "dots"]), [FillCase.Rectangle(0, 0, 10, 10), Figure.FromDot(1, DoseFactor.One, new GridPoint(x, y))]);
        Diagnostic? fault = (Record.Exception(() => ApproachCheck.Run(figures, Approaching)) as CompileException)?.Diagnostic;
        Assert.Equal(
            hasRoom ? null : FormattableString.Invariant($"({x / 10_000.0}, {y / 10_000.0}) um lies too near to the left or lower edge of the field to be approached from 2 um to the left of and below it"),
            fault?.Message);
        if (fault is not null)
        {
            Assert.Equal(SourcePlace.OfPoint("dots", x / 10.0, y / 10.0, 1), fault.Place);
        }

        ApproachCheck.Run(figures, Approaching with { Settle = Approaching.Settle with { ApproachNanometres = 0 } });
    }

    /// <summary>Every corner counts, not where a figure begins.</summary>
    [Fact]
    public void The_corner_that_is_too_near_is_told()
    {
        var area = new FiguresDocument(new FiguresHeader(100, ["pads"]), [FillCase.Rectangle(-481_234, 7, 10, 10)]);
        Assert.StartsWith("(-48.1234, 0.0007) um lies too near ", Assert.Throws<CompileException>(() => ApproachCheck.Run(area, Approaching)).Diagnostic.Message, StringComparison.Ordinal);
        var line = new FiguresDocument(new FiguresHeader(100, ["pads"]), [Figure.FromLine(0, DoseFactor.One, new GridPoint(100, 100), new GridPoint(9, -381_000))]);
        Assert.StartsWith("(0.0009, -38.1) um lies too near ", Assert.Throws<CompileException>(() => ApproachCheck.Run(line, Approaching)).Diagnostic.Message, StringComparison.Ordinal);
    }
}
