using System.Globalization;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;
using Xunit.Abstractions;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// A scan with two poles and 3 µm of play, of which nobody is told: the settling target is written along both axes with dots from both
/// sides, the dots are read, the fit goes into the machine file as it is printed, and pads are written with and without it.
/// </summary>
public sealed class ScanLoopTests(ITestOutputHelper console)
{
    private const int UsualSeeds = 1;
    private const double Picoamperes = 2000;
    private const double ReadingNoise = 3;
    private const int Jumps = 3;
    private const double Bar = 4000;
    private const int Visits = 40;
    private const double Longest = 90_000;
    private const double Pad = 6000;
    private const string Fill = "fill: {strategy: raster, direction: x, line_pitch: 64 codes, point_step: 64 codes}";
    private static readonly double[] WaitsMicroseconds = [5, 8, 12, 18, 27, 40, 60, 90, 140, 210, 320, 480, 700, 1000];

    // In an order that comes from all sides.
    private static readonly (double X, double Y)[] Pads = [(0, 0), (30, -25), (-28, 20), (25, 28), (-30, -28), (5, 27), (-25, -3), (31, 2), (3, -30)];

    [Fact]
    public void Edges_of_pads_are_ten_times_better_after_the_fit() => LabLoop.Run(console, UsualSeeds, Loop);

    private static (string Found, bool IsRight) Loop(long seed)
    {
        LabTruth truth = LabTruth.Draw(seed, new LabSetup { Faults = LabFaults.Scan, CurrentPicoamperes = Picoamperes });
        LabTruth ideal = truth with { ScanX = null, ScanY = null };
        var dice = new Dice(seed, "readings of dots");
        string table = "axis, sides, jump [um], wait [us], visit [us], visits, displacement [nm]\n" + Readings(truth, isUpright: false, dice) + Readings(truth, isUpright: true, dice);
        IReadOnlyList<SettlingReading> readings = SettlingReading.Of(MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(table)), "table", SettlingReading.WordColumns));
        IReadOnlyList<ResponseFit> fits = ResponseFitter.FitAxes(readings, new DiagnosticSink());
        string settle = ResponseText.Of(fits, [], null);
        string pasted = string.Join(", ", settle.Split('\n').Where(line => line.StartsWith("  ", StringComparison.Ordinal)).Select(line => line.Split('#')[0].Trim()).Where(line => line.Length > 0));
        double[] wanted = Edges(ideal, "fixed: 20 us");
        double[] plain = Errors(Edges(truth, "fixed: 20 us"), wanted);
        double[] mended = Errors(Edges(truth, $"fixed: 20 us, cancel_lag: yes, conditioning: {{loops: 1, size: 96 um}}, {pasted}"), wanted);
        double gain = RootMeanSquare(plain) / RootMeanSquare(mended);
        string found = string.Create(
            CultureInfo.InvariantCulture,
            $"{Told(fits[0], truth.ScanX!)}; {Told(fits[1], truth.ScanY!)}; edges off by {RootMeanSquare(plain):0} nm (worst {Worst(plain):0}), then {RootMeanSquare(mended):0.0} nm (worst {Worst(mended):0.0}): {gain:0} times better");
        return (found, gain >= 10 && Worst(plain) >= 10 * Worst(mended));
    }

    private static string Told(ResponseFit fit, ScanTruth truth) => fit.SlowPart is null
        ? $"{fit.Axis}: one time constant, {fit.OneAlone}"
        : string.Create(
            CultureInfo.InvariantCulture,
            $"{fit.Axis}: {fit.TimeConstants[0].Value:0.00} us ({1e6 * truth.FastSeconds:0.00}), {fit.SlowPart.Value:0.0000} of {fit.TimeConstants[1].Value:0.0} us ({truth.SlowPart:0.0000} of {1e6 * truth.SlowSeconds:0.0}), play {fit.Hysteresis!.Value:0} nm ({truth.PlayNanometres:0})");

    // The distance of the two dots of each pair, less what it is drawn with.
    private static string Readings(LabTruth truth, bool isUpright, Dice dice)
    {
        using var target = new TargetExposure(truth, Picoamperes, "settling-target", FormattableString.Invariant($"jumps={Jumps} longest=90um bar=4um visits={Visits} sides=2 upright={(isUpright ? 1 : 0)}"));
        var text = new StringBuilder();
        foreach (double wait in WaitsMicroseconds)
        {
            BuildSettings settings = target.Settings(FormattableString.Invariant($"fixed: {wait} us"), "active: high", Fill);
            Deposits deposits = target.Write(settings).Deposits;
            double visit = 1e6 * settings.Process.DotChargeCoulombs / Visits / settings.Machine.Beam.CurrentAmperes;
            double expected = 1e15 * settings.Process.DotChargeCoulombs;
            for (int i = 0; i < Jumps; i++)
            {
                double level = 5 * Bar * ((2 * i) - Jumps + 1) / 2, jump = Longest * (i + 1) / Jumps;

                // While the beam is far from settled a dot lies where others do.
                if (Dot(deposits, level, isUpright, expected) is { } fromLeft && Dot(deposits, level - Bar, isUpright, expected) is { } fromRight && Math.Abs(fromRight - fromLeft) < 9000)
                {
                    text.Append(CultureInfo.InvariantCulture, $"{(isUpright ? "y" : "x")}, 2, {jump / 1000}, {wait}, {visit:0.####}, {Visits}, {fromRight - fromLeft + dice.Normal(0, ReadingNoise):0.00}\n");
                }
            }
        }

        return text.ToString();
    }

    // The middle of the charge about the place of a dot, along the jump.
    private static double? Dot(Deposits deposits, double level, bool isUpright, double expected)
    {
        (double charge, double moment) = (0, 0);
        foreach (Deposit deposit in deposits.All())
        {
            (double along, double across) = isUpright ? (deposit.Y, deposit.X) : (deposit.X, deposit.Y);
            if (Math.Abs(along) < 8000 && Math.Abs(across - level) < 1900)
            {
                (charge, moment) = (charge + deposit.Femtocoulombs, moment + (deposit.Femtocoulombs * along));
            }
        }

        // A part of it lies further off, or something else lies here, too.
        return Math.Abs(charge - expected) < 0.05 * expected ? moment / charge : null;
    }

    /// <summary>Left, right, lower and upper edge of each pad: where a fiftieth of its charge lies beyond.</summary>
    private static double[] Edges(LabTruth truth, string settle)
    {
        using var target = new TargetExposure(truth, Picoamperes, "settling-target", "jumps=1 longest=80um bar=1um");
        var edges = new List<double>();
        Deposits deposits = target.Write(target.SettingsOf(DrawnPads(), settle, "active: high", Fill)).Deposits;
        foreach ((double x, double y) in Pads)
        {
            (double X, double Y, double Charge)[] own =
                [.. deposits.All().Where(deposit => Math.Abs(deposit.X - (1000 * x)) < Pad && Math.Abs(deposit.Y - (1000 * y)) < Pad).Select(deposit => ((double)deposit.X, (double)deposit.Y, (double)deposit.Femtocoulombs))];
            edges.AddRange([Quantile(own.Select(d => (d.X, d.Charge)), 0.02), Quantile(own.Select(d => (d.X, d.Charge)), 0.98), Quantile(own.Select(d => (d.Y, d.Charge)), 0.02), Quantile(own.Select(d => (d.Y, d.Charge)), 0.98)]);
        }

        return [.. edges];
    }

    private static string DrawnPads() => "layout 1\nunit um\nlayer pads\n" + string.Concat(Pads.Select(pad => string.Create(
        CultureInfo.InvariantCulture, $"rect on pads at ({pad.X - (Pad / 2000)}, {pad.Y - (Pad / 2000)}) size ({Pad / 1000}, {Pad / 1000})\n")));

    private static double Quantile(IEnumerable<(double Place, double Charge)> charges, double part)
    {
        (double Place, double Charge)[] sorted = [.. charges.OrderBy(at => at.Place)];
        double left = part * sorted.Sum(at => at.Charge);
        foreach ((double place, double charge) in sorted)
        {
            left -= charge;
            if (left <= 0)
            {
                return place;
            }
        }

        return sorted[^1].Place;
    }

    // The field as a whole may lie elsewhere: that is what its calibration is for.
    private static double[] Errors(double[] edges, double[] wanted)
    {
        double[] off = [.. edges.Zip(wanted, (edge, place) => edge - place)];
        (double x, double y) = (off.Where((_, i) => i % 4 < 2).Average(), off.Where((_, i) => i % 4 >= 2).Average());
        return [.. off.Select((error, i) => error - (i % 4 < 2 ? x : y))];
    }

    private static double RootMeanSquare(double[] errors) => Math.Sqrt(errors.Average(error => error * error));

    private static double Worst(double[] errors) => errors.Max(Math.Abs);
}
