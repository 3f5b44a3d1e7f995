using System.Globalization;
using System.Text;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Converters;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;
using Xunit.Abstractions;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// Outputs with carries that are off, gain, offset, a bend, crosstalk and ends that nobody is told: held by a stream, read by a voltmeter,
/// fitted, stated in the machine file, and written with. Then the voltages are what the drawing asks for.
/// </summary>
public sealed class ConverterLoopTests(ITestOutputHelper console)
{
    private const int UsualSeeds = 5;
    private const int Dots = 400;
    private const double FieldNanometres = 100_000;
    private const double Step = 20.0 / 65536;

    // Beyond three standard deviations.
    private const double PartBeyond = 0.0027;

    [Theory]
    [InlineData(50e-6)]
    [InlineData(200e-6)]
    public void Voltages_are_right_after_readings_of_a_voltmeter(double meterVolts)
    {
        var log = new StringBuilder();
        LabVerdict verdict = LabSeeds.Run(LabSeeds.Chosen(UsualSeeds), seed =>
        {
            (string found, string? fault) = Loop(seed, meterVolts);
            log.Append(CultureInfo.InvariantCulture, $"seed {seed}: {found}\n");
            return fault;
        });
        console.WriteLine($"{verdict.Seeds} seeds, {verdict.Failed} missed\n{verdict.Report}{log}");
        Assert.True(verdict.Failed <= 0.02 * verdict.Seeds, verdict.Report);
    }

    private static (string Found, string? Fault) Loop(long seed, double meterVolts)
    {
        LabTruth truth = LabTruth.Draw(seed, new LabSetup { Faults = LabFaults.Converters | LabFaults.Amplifiers });
        using var folder = new TemporaryFolder();
        folder.Write("process.yaml", "process: p\ndose: {area: 300 uC/cm2, line: 1 nC/cm, dot: 10 fC}\nresist: {contrast: 4, clearing: 150 uC/cm2}\n");
        Machine plain = Machine(folder, "");
        string readings = Readings(folder, truth, plain, new Dice(seed, "voltmeter"), meterVolts);
        MeasurementTable table = MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(readings)), "readings", ConverterReadings.WordColumns);
        var messages = new DiagnosticSink();
        ConverterFit fit = ConverterFitter.Fit(ConverterReadings.Of(table, plain.Dac, null), plain.Dac, false, table.PlaceOf, messages);
        string fragment = ConverterText.Of(fit, plain.Dac);
        Machine machine = Machine(folder, string.Concat(fragment.Split('\n').Where(line => line.StartsWith("  ", StringComparison.Ordinal)).Select(line => line + "\n")));
        string? ends = Ends(fit.X, truth.ConverterX, truth.AmplifierX) ?? Ends(fit.Y, truth.ConverterY, truth.AmplifierY) ?? (messages.Collected.Count > 0 ? messages.Collected[0].ToString() : null);
        (double worst, int beyond, int avoidable) = WriteDots(folder, truth, machine, new Dice(seed, "dots"), Math.Max(Step, 3 * meterVolts));
        string found = FormattableString.Invariant(
            $"largest error {worst / Step:0.00} steps, {beyond} of {2 * Dots} voltages beyond the limit, {avoidable} where another code is within; codes {fit.X.Usable.Lowest} to {fit.X.Usable.Highest} and {fit.Y.Usable.Lowest} to {fit.Y.Usable.Highest}; crosstalk {Apart(fit.X.Crosstalk!, truth.AmplifierX.FromOther)} and {Apart(fit.Y.Crosstalk!, truth.AmplifierY.FromOther)} standard errors off");

        // A step is a limit for all of them; three standard deviations of the meter are one for most.
        return (found, ends ?? (avoidable > (3 * meterVolts > Step ? PartBeyond * 2 * Dots : 0) ? found : null));
    }

    // The machine file as it stands in the folder; what is fitted goes below its deflection section.
    private static Machine Machine(TemporaryFolder folder, string deflection)
    {
        folder.Write("machine.yaml", "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}\ndeflection:\n  field: 100 um\n" + deflection
            + "settle: {fixed: 15 us}\nclock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\nblanker: {active: high}\nbeam: {current: 200 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 8 MB/s, buffer: 64 KiB}\n");
        return MachineFile.Read(folder["machine.yaml"]);
    }

    // The stream holds, the meter is read hold by hold, and the table is filled in.
    private static string Readings(TemporaryFolder folder, LabTruth truth, Machine machine, Dice dice, double meterVolts)
    {
        folder.Write("job.yaml", "job: j\nmachine: machine.yaml\nprocess: process.yaml\nsources: [dots.layout]\n");
        using var bytes = new MemoryStream();
        string template = ConverterHoldsTarget.Write(
            BuildSettings.Read(JobFile.Read(folder["job.yaml"])), 6, 5, new ExposureStreamWriter(bytes, StreamProfile.Lines));
        DecodedExposure stream = DecodedExposure.Read(bytes.ToArray());
        var meter = new Voltmeter(new Outputs(truth, stream.Header), dice, meterVolts);
        Assert.Equal(0, stream.Records.Sum(record => record.ExposedPoints));
        string[] lines = template.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        var text = new StringBuilder("axis, code, other, volts [V]\n");
        for (int i = 0; i < stream.Records.Length; i++)
        {
            StreamRecord hold = stream.Records[i];
            Assert.Equal(5L * 10_000_000, hold.Ticks);
            string[] cells = lines[i + 2].Split(',', StringSplitOptions.TrimEntries);
            text.Append(CultureInfo.InvariantCulture, $"{cells[0]}, {cells[1]}, {cells[2]}, {meter.Read(cells[0][0], hold.X, hold.Y):0.00000}\n");
        }

        return text.ToString();
    }

    // Dots at random places, as far out as either output follows.
    private static (double Worst, int Beyond, int Avoidable) WriteDots(TemporaryFolder folder, LabTruth truth, Machine machine, Dice dice, double limit)
    {
        double reachX = Reach(machine, machine.Deflection.UsableX), reachY = Reach(machine, machine.Deflection.UsableY);
        (double X, double Y)[] places = [.. Enumerable.Range(0, Dots).Select(_ => (Math.Round(reachX * dice.Between(-1, 1)), Math.Round(reachY * dice.Between(-1, 1))))];
        folder.Write("dots.layout", "layout 1\nunit nm\nlayer dots\n" + string.Concat(places.Select(place => FormattableString.Invariant($"dot on dots at ({place.X}, {place.Y})\n"))));
        folder.Write("job.yaml", "job: j\nmachine: machine.yaml\nprocess: process.yaml\nsources: [dots.layout]\norder: {by: as given}\n");
        DecodedExposure stream = DecodedExposure.Read(CompiledExposure.Of(folder["job.yaml"]));
        var outputs = new Outputs(truth, stream.Header);
        StreamRecord[] dots = [.. stream.Records.Where(record => record.Kind == VirtualLab.Streams.RecordKind.Dot)];
        Assert.Equal(Dots, dots.Length);
        double worst = 0;
        int beyond = 0, avoidable = 0;
        foreach ((StreamRecord dot, (double X, double Y) place) in dots.Zip(places))
        {
            (double wantedX, double wantedY) = (place.X / FieldNanometres * 20, place.Y / FieldNanometres * 20);
            (double x, double y) = outputs.VoltsAt(dot.X, dot.Y);
            Judge(Math.Abs(x - wantedX), shift => Math.Abs(outputs.VoltsAt(dot.X + shift, dot.Y).X - wantedX));
            Judge(Math.Abs(y - wantedY), shift => Math.Abs(outputs.VoltsAt(dot.X, dot.Y + shift).Y - wantedY));
        }

        return (worst, beyond, avoidable);

        // A gap between two codes of which neither is near enough is the converter's, not the fit's.
        void Judge(double error, Func<int, double> errorOf)
        {
            worst = Math.Max(worst, error);
            if (error > limit)
            {
                beyond++;
                avoidable += Enumerable.Range(-12, 25).Any(shift => errorOf(shift) <= limit) ? 1 : 0;
            }
        }
    }

    // A place so far from the middle to either side leads to codes that are followed, whatever the other output adds.
    private static double Reach(Machine machine, CodeRange? usable)
    {
        CodeRange range = usable ?? new CodeRange(0, 65535);
        return (Math.Min(32768 - range.Lowest, range.Highest - 32768) - 700) * FieldNanometres / 65536;
    }

    // No code beyond where the amplifier clips, and not many of those before.
    private static string? Ends(OutputFit fit, ConverterTruth converter, AmplifierTruth amplifier)
    {
        const int MostGivenUp = 2 * 1024 + 256;
        double Own(int code) => amplifier.Own(-10 + (Step * converter.StepsOf(code, 16)));
        int lowest = Enumerable.Range(0, 65536).First(code => Own(code) > amplifier.LowestVolts), highest = Enumerable.Range(0, 65536).Last(code => Own(code) < amplifier.HighestVolts);
        return fit.Usable.Lowest >= lowest && fit.Usable.Lowest <= lowest + MostGivenUp && fit.Usable.Highest <= highest && fit.Usable.Highest >= highest - MostGivenUp
            ? null
            : $"output {fit.Axis} is usable from {fit.Usable.Lowest} to {fit.Usable.Highest}, in truth from {lowest} to {highest}";
    }

    private static string Apart(FitParameter found, double truth) => ((found.Value - truth) / found.StandardError).ToString("0.0", CultureInfo.InvariantCulture);
}
