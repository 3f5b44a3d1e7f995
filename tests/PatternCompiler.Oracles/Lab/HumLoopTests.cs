using System.Globalization;
using PatternCompiler.Calibration.Mains;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Truth;
using Xunit.Abstractions;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// Hum that nobody is told: slow lines of the hum target, each begun at an edge of the trigger, are read along their length and
/// fitted; then the bars of the same target are written in rows that wait for the phase at which the hum passes through zero.
/// </summary>
public sealed class HumLoopTests(ITestOutputHelper console)
{
    private const int UsualSeeds = 3;
    private const double Picoamperes = 200;
    private const double HalfLength = 10_000;
    private const double Tick = 5000;
    private const double RowSpacing = 100;
    private const double ReadingNoise = 2;
    private const double LargestMove = 10;
    private const double PeriodSeconds = 20e-3;
    private const string Trigger = "trigger: {frequency: 50 Hz, longest_wait: 100 ms}\n";

    [Fact]
    public void Triggered_rows_print_where_they_are_drawn() => LabLoop.Run(console, UsualSeeds, Loop);

    private static (string Found, bool IsRight) Loop(long seed)
    {
        const string Fill = "fill: {direction: x, line_pitch: 16 codes, point_step: 8 codes";
        var dice = new Dice(seed, "hum");
        LabTruth still = LabTruth.Draw(seed, new LabSetup { CurrentPicoamperes = Picoamperes, Faults = LabFaults.None });
        LabTruth truth = still with { Column = still.Column with { HumXNanometres = dice.Between(25, 40), HumYNanometres = dice.Between(10, 40) } };
        HumFit fit = Measured(truth, dice);
        ColumnTruth column = truth.Column;
        HumWaveFit x = fit.Axes[0].Waves[0], y = fit.Axes[1].Waves[0];

        // The phase of x tells when the hum passes through zero upward; rows of 150 us are begun half of that earlier.
        double delay = ((1 - (Turned(x.Phase.Value) / 360)) * PeriodSeconds) - 75e-6;
        delay += delay < 0 ? PeriodSeconds : 0;
        double[] wanted = Edges(still, Fill + "}", "");
        double free = WorstMove(Edges(truth, Fill + "}", ""), wanted);
        double held = WorstMove(Edges(truth, string.Create(CultureInfo.InvariantCulture, $"{Fill}, trigger: row, trigger_delay: {1e6 * delay:0.0} us}}"), Trigger), wanted);
        double phase = column.HumPhase * 180 / Math.PI;
        (double offX, double offY) = (Apart(x.Phase.Value, phase), Apart(y.Phase.Value, phase + 120));
        return (
            string.Create(
                CultureInfo.InvariantCulture,
                $"x {x.Amplitude.Value:0.0} nm ({column.HumXNanometres:0.0} in truth, standard error {x.Amplitude.StandardError:0.0}), phase {offX:0.0} deg off ({x.Phase.StandardError:0.0}); y {y.Amplitude.Value:0.0} nm ({column.HumYNanometres:0.0}, {y.Amplitude.StandardError:0.0}), {offY:0.0} deg off ({y.Phase.StandardError:0.0}); edges move by {free:0.0} nm at worst, triggered by {held:0.0} nm"),
            Math.Abs(x.Amplitude.Value - column.HumXNanometres) < 3 && Math.Abs(y.Amplitude.Value - column.HumYNanometres) < 3 && offX < 8 && offY < 8
            && held < LargestMove && held < free);
    }

    /// <summary>Middles of one horizontal and one vertical line, every 100 nm, with the noise of a reading.</summary>
    private static HumFit Measured(LabTruth truth, Dice dice)
    {
        using var target = new TargetExposure(truth, Picoamperes, "hum-target", "lines=1 length=20um spacing=3um tick=5um");
        BuildSettings settings = target.Settings("fixed: 15 us", "active: high", "fill: {line_pitch: 16 codes, point_step: 8 codes, trigger: figure}", Trigger);
        Sample sample = target.Write(settings);
        double nanometresPerSecond = 1e9 * settings.Machine.Beam.CurrentAmperes / settings.Process.LineDoseCoulombsPerMetre;
        var times = new List<double>();
        var x = new List<double>();
        var y = new List<double>();

        // The horizontal line lies at y = -1.5 um - half of the length, the vertical one begins 3 um above it.
        double low = -1500 - HalfLength;
        for (double along = 1000; along <= (2 * HalfLength) - 1000; along += RowSpacing)
        {
            if (Middle(sample, along - HalfLength, low, isVertical: false) is { } up && Middle(sample, low, low + 3000 + along, isVertical: true) is { } right)
            {
                times.Add(along / nanometresPerSecond);
                y.Add(up + dice.Normal(0, ReadingNoise));
                x.Add(right + dice.Normal(0, ReadingNoise));
            }
        }

        return HumFitter.Fit(HumRows.Of([.. times], new int[times.Count], ("x", [.. x]), ("y", [.. y])), 50, 1, false, new DiagnosticSink());
    }

    private static double? Middle(Sample sample, double x, double y, bool isVertical)
    {
        DevelopedFilm film = sample.Develop(SampleWindow.Around(x, y, 400, 400));
        (double stepX, double stepY) = isVertical ? (1.0, 0.0) : (0.0, 1.0);
        return film.DistanceToEdge(x, y, stepX, stepY, 180) is { } up && film.DistanceToEdge(x, y, -stepX, -stepY, 180) is { } down ? (up - down) / 2 : null;
    }

    /// <summary>Left and right edges of the bars beside the horizontal line.</summary>
    private static double[] Edges(LabTruth truth, string fill, string machine)
    {
        using var target = new TargetExposure(truth, Picoamperes, "hum-target", "lines=1 length=20um spacing=3um tick=5um");
        Sample sample = target.Write(target.Settings("fixed: 15 us", "active: high", fill + "\ncorrect: {target: edge}", machine));
        var edges = new List<double>();
        for (double at = -HalfLength; at <= HalfLength; at += Tick)
        {
            double middle = -1500 - HalfLength + 1125;
            DevelopedFilm film = sample.Develop(SampleWindow.Around(at, middle, 700, 700));
            foreach (double up in (double[])[-200, 0, 200])
            {
                edges.Add(film.DistanceToEdge(at, middle + up, 1, 0, 340) ?? throw new InvalidOperationException("a bar has no right edge"));
                edges.Add(-film.DistanceToEdge(at, middle + up, -1, 0, 340) ?? throw new InvalidOperationException("a bar has no left edge"));
            }
        }

        return [.. edges];
    }

    private static double WorstMove(double[] edges, double[] wanted) => edges.Zip(wanted, (edge, place) => Math.Abs(edge - place)).Max();

    private static double Apart(double degrees, double truth) => Math.Abs(Turned(degrees - truth + 180) - 180);

    private static double Turned(double degrees) => degrees - (360 * Math.Floor(degrees / 360));
}
