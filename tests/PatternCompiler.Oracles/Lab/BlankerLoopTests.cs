using System.Globalization;
using System.Text;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.BlankerCurrent;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using Xunit.Abstractions;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// A blanker with delays, rise, fall and leak that nobody is told: a stream switches it at many rates into a Faraday cup, a slow meter reads mean
/// currents, they are fitted and stated in the machine file, and dots hardly longer than the delays get their charge.
/// </summary>
public sealed class BlankerLoopTests(ITestOutputHelper console)
{
    private const int UsualSeeds = 5;
    private const double Within = 0.02;

    // Edges of another shape than the fit's.
    private const double WithinOfOtherShape = 0.04;
    private const double MeterPicoamperes = 0.02;
    private const double HoldSeconds = 0.002;
    private const double AsideNanometres = 40_000;
    private const int Dots = 300;
    private const double DotFemtocoulombs = 0.25;

    /// <summary>Edges as the fit takes them, and edges that rise and fall evenly, which it knows nothing of.</summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Delays_come_back_from_mean_currents(bool isExponential)
    {
        var log = new StringBuilder();
        var errors = new List<double>();
        LabVerdict verdict = LabSeeds.Run(LabSeeds.Chosen(UsualSeeds), seed =>
        {
            (string found, string? fault) = Loop(seed, isExponential, errors);
            log.Append(CultureInfo.InvariantCulture, $"seed {seed}: {found}\n");
            return fault;
        });
        console.WriteLine($"{verdict.Seeds} seeds, {verdict.Failed} missed; delays off by {100 * Math.Sqrt(errors.Sum(e => e * e) / errors.Count):0.00} % rms, {100 * errors.Max(Math.Abs):0.00} % at most\n{verdict.Report}{log}");
        Assert.True(verdict.Failed <= 0.02 * verdict.Seeds, verdict.Report);
    }

    private static (string Found, string? Fault) Loop(long seed, bool isExponential, List<double> errors)
    {
        LabTruth truth = LabTruth.Draw(seed, new LabSetup { Faults = LabFaults.Blanker, CurrentPicoamperes = 200, BlankerSlowness = 2 });
        var dice = new Dice(seed, "leak");
        truth = truth with { Blanker = truth.Blanker with { IsExponential = isExponential, RiseSeconds = truth.Blanker.RiseSeconds * (isExponential ? 0.5 : 1), FallSeconds = truth.Blanker.FallSeconds * (isExponential ? 0.5 : 1), Leak = dice.Ratio(1e-4, 1e-2) } };
        using var folder = new TemporaryFolder();
        folder.Write("process.yaml", FormattableString.Invariant($"process: p\ndose: {{area: 300 uC/cm2, line: 1 nC/cm, dot: {DotFemtocoulombs} fC}}\nresist: {{contrast: 4, clearing: 150 uC/cm2}}\n"));
        folder.Write("job.yaml", "job: j\nmachine: machine.yaml\nprocess: process.yaml\nsources: [dots.layout]\norder: {by: as given}\n");
        folder.Write("dots.layout", "layout 1\nunit um\nlayer dots\n" + string.Concat(Enumerable.Range(0, Dots).Select(i => FormattableString.Invariant($"dot on dots at ({i % 20}, {i / 20}) dose {Factor(i)}\n"))));
        Machine(folder, "  active: high\n", 200);
        string readings = Readings(folder, truth, new Dice(seed, "ammeter"));
        MeasurementTable table = MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(readings)), "readings", [.. CupReadings.WordColumns]);
        BlankerCurrentFit fit = BlankerCurrentFitter.Fit(CupReadings.Of(table), new DiagnosticSink());
        double off = (fit.OffDelay!.Value / (1e6 * truth.Blanker.MeanOffSeconds)) - 1, on = (fit.OnDelay!.Value / (1e6 * truth.Blanker.MeanOnSeconds)) - 1;
        errors.AddRange([off, on]);

        // What the machine file then holds is what is written with.
        string fragment = BlankerCurrentText.Of(fit, null);
        Machine(folder, "  active: high\n" + string.Concat(fragment.Split('\n').Where(line => line.StartsWith("  ", StringComparison.Ordinal)).Select(line => line + "\n")), fit.Current.Value);
        DecodedExposure stream = DecodedExposure.Read(CompiledExposure.Of(folder["job.yaml"]));
        double all = stream.Records.Sum(record => record.TotalTicks) / stream.Header.ClockHertz;
        double charge = new Ammeter(truth, double.PositiveInfinity, dice, 0).ChargeBy(stream, [all + 1e-4])[0] * 1e3;
        double leaked = 1e3 * truth.Column.CurrentAt(0) * truth.Blanker.Leak * 1e-4;
        double excess = ((charge - leaked) / (Dots * DotFemtocoulombs)) - 1;
        string found = FormattableString.Invariant(
            $"off {fit.OffDelay.Value:0.0000} us ({100 * off:0.00} %), on {fit.OnDelay.Value:0.0000} us ({100 * on:0.00} %), rise {fit.Rise?.Value:0.000} us ({1e6 * truth.Blanker.RiseSeconds:0.000} as in the lab), fall {fit.Fall?.Value:0.000} us ({1e6 * truth.Blanker.FallSeconds:0.000}), leak {fit.Leak!.Value:0.000} % ({100 * truth.Blanker.Leak:0.000}), charge of dots {100 * excess:0.00} %");
        double within = isExponential ? Within : WithinOfOtherShape;
        return (found, Math.Abs(off) > within || Math.Abs(on) > within || Math.Abs(excess) > Within ? found : null);
    }

    // From 0.8 to 1.2, so that rounding to ticks is another for each dot and evens out.
    private static double Factor(int dot) => 0.8 + (0.4 * dot / (Dots - 1));

    private static void Machine(TemporaryFolder folder, string blanker, double picoamperes) => folder.Write("machine.yaml", FormattableString.Invariant(
        $"machine: m\ndac: {{bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}}\ndeflection: {{field: 100 um, invert_y: yes}}\nsettle: {{fixed: 15 us}}\nclock: {{rate: 100 MHz, shortest_dwell: 10 ticks, longest_dwell: 1000000 ticks}}\nblanker:\n{blanker}beam: {{current: {picoamperes} pA, spot: 20 nm, energy: 30 keV}}\nlink: {{rate: 8 MB/s, buffer: 64 KiB}}\n"));

    // The stream switches, the meter reads row by row, over the second half of each, and the table is filled in.
    private static string Readings(TemporaryFolder folder, LabTruth truth, Dice dice)
    {
        using var bytes = new MemoryStream();
        string template = BlankerRatesTarget.Write(
            BuildSettings.Read(JobFile.Read(folder["job.yaml"])), AsideNanometres, HoldSeconds, new ExposureStreamWriter(bytes, StreamProfile.Lines));
        DecodedExposure stream = DecodedExposure.Read(bytes.ToArray());
        string[][] rows = [.. template.Split('\n', StringSplitOptions.RemoveEmptyEntries).Skip(2).Select(line => line.Split(',', StringSplitOptions.TrimEntries))];
        double[] times = [.. rows.SelectMany(row => (double[])[Half(row), Number(row[5])])];
        var meter = new Ammeter(truth, AsideNanometres / 2, dice, MeterPicoamperes);
        double[] charges = meter.ChargeBy(stream, times);
        var text = new StringBuilder("on [us], off [us], deflection, current [pA]\n");
        for (int i = 0; i < rows.Length; i++)
        {
            double mean = (charges[(2 * i) + 1] - charges[2 * i]) / (times[(2 * i) + 1] - times[2 * i]);
            text.Append(CultureInfo.InvariantCulture, $"{rows[i][0]}, {rows[i][1]}, {rows[i][2]}, {meter.Read(mean):0.0000}\n");
        }

        return text.ToString();

        static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

        // Whole periods before the end: a slow meter sees very many.
        static double Half(string[] row)
        {
            (double from, double to) = (Number(row[4]), Number(row[5]));
            double period = 1e-6 * (Number(row[0]) + Number(row[1]));
            return to - (Math.Floor((to - from) / 2 / period) * period);
        }
    }
}
