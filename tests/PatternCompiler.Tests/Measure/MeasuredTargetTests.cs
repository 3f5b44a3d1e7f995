using System.Collections.Immutable;
using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Measure;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Measure;

/// <summary>What is drawn without an area, or as two combs: single lines, dots, verniers.</summary>
public sealed class MeasuredTargetTests
{
    private static readonly ImmutableArray<(double, double, double, double, double)> Frame =
        [(-900, -800, 900, -650, 1), (-900, -650, -750, 800, 1), (600, 650, 900, 800, 1)];

    private static readonly ExposureTiming Timing = new(0.5, 0.25, (_, factor) => 40 / factor, (x, y) => Math.Max(Math.Abs(x), Math.Abs(y)) / 1000);

    /// <summary>A line that starts 12 nm late and ends 20 nm late, another one the other way round and drawn twice.</summary>
    [Fact]
    public void Ends_of_lines_give_tails_and_missing_lengths()
    {
        var truth = new SyntheticMicrograph { Rectangles = [.. Frame, (-388, 170, 320, 230, 1), (-320, -231, 388, -169, 1)], Electrons = 2000, Map = PictureMap.Similar(10, -20, 5, 0.03) };
        FlatLayout layout = With([[new(-4000, 2000), new(3000, 2000)]], []);
        FlatLayer doubled = layout.Groups[^1] with { DoseFactor = DoseFactor.FromValue(0.5), Lines = [[new(4000, -2005), new(-3000, -2005)], [new(4000, -1995), new(-3000, -1995)]] };
        MeasuredPicture measured = Measure(truth, layout with { Groups = layout.Groups.Add(doubled) });
        Assert.Equal([(1, 1.0), (2, 0.5)], measured.Lines.Select(line => (line.Times, line.DoseFactor)));
        Assert.All(measured.Lines, line => Assert.InRange(line.WidthNanometres, 59.5, 62.5));
        double[][] rows = Rows(MeasureTables.Tails(measured, Timing, "a.tif"), "speed [nm/us], tail [nm], missing [nm], standard error [nm], times, width [nm], x [um], y [um]");

        // At 40 and 80 nm/us, half of a microsecond at the end and a quarter at the start are made up for.
        Assert.Equal(40, rows[0][0]);
        Assert.Equal(20 + 20, rows[0][1], 1.5);
        Assert.Equal(12 + 10, rows[0][2], 1.5);
        Assert.Equal(80, rows[1][0]);
        Assert.Equal(20 + 40, rows[1][1], 1.5);
        Assert.Equal(12 + 20, rows[1][2], 1.5);
    }

    [Fact]
    public void Lines_written_without_an_off_delay_tell_no_tails()
    {
        var truth = new SyntheticMicrograph { Rectangles = [.. Frame, (-400, 170, 300, 230, 1)] };
        MeasuredPicture measured = Measure(truth, With([[new(-4000, 2000), new(3000, 2000)]], []));
        Assert.Equal(
            "a.tif: error PC4112: these lines were written by a machine file without off_delay: the deflection has left each line before the beam is off, and what is left of the beam lands where the next line begins; "
            + "write the target with an off_delay that is longer than the blanker takes, and name that machine file with --machine",
            Assert.Throws<CompileException>(() => MeasureTables.Tails(measured, Timing with { OffDelayMicroseconds = 0 }, "a.tif")).Diagnostic.ToString());
    }

    /// <summary>A dot that stays 35 nm behind after jumps of 30 um along x and 40 um along y, and one that is never left.</summary>
    [Fact]
    public void Dots_after_jumps_have_stayed_behind()
    {
        (double behindX, double behindY) = (0.6 * 35, 0.8 * 35);
        var truth = new SyntheticMicrograph
        {
            Rectangles = [.. Frame, (-60 - behindX, 290 - behindY, 60 - behindX, 410 - behindY, 1), (-60 + 3, -310, 60 + 3, -190, 1)],
            Electrons = 2000,
            Map = PictureMap.Similar(-10, 20, 5, -0.02),
        };
        var dots = ImmutableArray.CreateBuilder<GridPoint>();
        for (int i = 0; i < 3; i++)
        {
            dots.Add(new(0, -2500 + 10 * (i - 1)));
        }

        for (int i = 0; i < 3; i++)
        {
            dots.Add(new(-300_000, -396_500 + 10 * (i - 1)));
            dots.Add(new(0, 3500 + 10 * (i - 1)));
        }

        MeasuredPicture measured = Measure(truth, With([], dots.ToImmutable()));
        Assert.Equal([(3, 0.0, 0.0), (3, 30_000, 40_000)], measured.Dots.Select(dot => (dot.Visits, Math.Round(dot.JumpX), Math.Round(dot.JumpY))));
        double[] row = Assert.Single(Rows(MeasureTables.Settling(measured, Timing, "a.tif"), "jump [um], wait [us], displacement [nm], standard error [nm], x [um], y [um]"));
        Assert.Equal([50, 40], row[..2]);
        Assert.Equal(35 + 0.6 * 3, row[2], 1.5);
        Assert.InRange(row[3], 0.05, 1.5);
    }

    /// <summary>Teeth of two combs, 40 nm of pitch more in the right one, which lies 50 nm too high and 15 nm too far right.</summary>
    [Fact]
    public void Two_combs_that_face_each_other_tell_both_offsets()
    {
        const int Teeth = 7;
        ImmutableArray<(double, double, double, double, double)> teeth =
        [
            .. Enumerable.Range(-3, Teeth).Select(i => (-700.0, i * 250.0 - 50, -80.0, i * 250.0 + 50, 1.0)),
            .. Enumerable.Range(-3, Teeth).Select(i => (80.0, i * 290.0 - 50, 700.0, i * 290.0 + 50, 1.0)),
        ];
        var truth = new SyntheticMicrograph
        {
            Rectangles = teeth,
            Height = 512,
            Electrons = 2000,
            Rough = (tooth, side, _) => tooth < Teeth ? 0 : side switch { 0 => -15, 2 => 15, 1 => -50, _ => 50 },
        };
        MeasuredPicture measured = Measure(truth, truth.Layout());
        double[] row = Assert.Single(Rows(
            MeasureTables.Verniers(measured, "a.tif"),
            "x [um], y [um], offset x [nm], offset y [nm], standard error x [nm], standard error y [nm], step [nm], reading, teeth"));
        Assert.Equal(15, row[2], 1.0);
        Assert.Equal(50, row[3], 1.0);
        Assert.Equal((40, 14), (row[6], row[8]));
        Assert.Equal(50 / 40.0, row[7], 0.03);
        Assert.Equal(
            "a.tif: error PC4111: no single line with both ends was found in this picture, and a table of them was asked for; leave the table out, or take a picture that shows them",
            Assert.Throws<CompileException>(() => MeasureTables.Tails(measured, Timing, "a.tif")).Diagnostic.ToString());
    }

    private static FlatLayout With(ImmutableArray<ImmutableArray<GridPoint>> lines, ImmutableArray<GridPoint> dots)
    {
        FlatLayout frame = new SyntheticMicrograph { Rectangles = Frame }.Layout();
        return frame with { Groups = frame.Groups.Add(new FlatLayer(0, DoseFactor.One, new ContourSetBuilder().ToContourSet(), lines, dots)) };
    }

    private static MeasuredPicture Measure(SyntheticMicrograph truth, FlatLayout layout) =>
        MicrographMeasurement.Run(truth.Render(), layout, new MeasureOptions(5, MapFreedom.Rigid) { Window = new(-100, -100, 100, 100) }, "a.tif", new DiagnosticSink());

    private static double[][] Rows(string table, string header)
    {
        string[] lines = table.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(header, lines[0]);
        return [.. lines.Skip(1).Select(line => line.Split(", ").Select(cell => double.Parse(cell, CultureInfo.InvariantCulture)).ToArray())];
    }
}
