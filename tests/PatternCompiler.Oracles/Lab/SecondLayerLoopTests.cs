using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Looks;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;
using Xunit.Abstractions;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// Electrodes with five marks are written, one mark displaced by 0.3 um; the sample comes back turned by 0.8 degrees, 0.4 % off in scale, skewed
/// by 0.2 %, moved by 1.9 um. The same beam looks at the marks and nowhere else, the layer's place is fitted, the displaced mark named, and the
/// second layer written on the first.
/// </summary>
public sealed class SecondLayerLoopTests(ITestOutputHelper console)
{
    private const int UsualSeeds = 2;
    private const double LargestOverlayNanometres = 50;
    private const double DisplacedNanometres = 300;
    private const double WindowNanometres = 10_000;
    private static readonly (string Name, double X, double Y)[] Marks = [("SW", -23_500, -32_400), ("SE", 23_500, -32_400), ("NE", 38_000, 12_400), ("NW", -38_000, 12_400), ("N", 0, 40_000)];

    // Where the first layer's electrodes are, and the second layer's pads on them.
    private const string Electrodes = "rect on electrodes at (-30, -20) size (60, 40)\n";
    private static readonly (double X, double Y)[] Pads = [(-28_000, -18_000), (0, -18_000), (28_000, -18_000), (-28_000, 0), (0, 0), (28_000, 0), (-28_000, 18_000), (0, 18_000), (28_000, 18_000)];

    [Fact]
    public void The_second_layer_lies_on_the_first()
    {
        var log = new StringBuilder();
        LabVerdict verdict = LabSeeds.Run(LabSeeds.Chosen(UsualSeeds), seed =>
        {
            (string found, string? fault) = Loop(seed);
            log.Append(CultureInfo.InvariantCulture, $"seed {seed}: {found}\n");
            return fault;
        });
        console.WriteLine($"{verdict.Seeds} seeds, {verdict.Failed} missed\n{verdict.Report}{log}");
        Assert.True(verdict.Failed <= 0.02 * verdict.Seeds, verdict.Report);
    }

    private static (string Found, string? Fault) Loop(long seed)
    {
        LabTruth truth = LabTruth.Draw(seed, new LabSetup { Faults = LabFaults.Converters, CurrentPicoamperes = 100 });
        var layer = LayerTruth.Draw(0.8, 0.004, 0.002, 1900, new Dice(seed, "layer"));
        var dice = new Dice(seed, "displaced mark");
        int bad = (int)(dice.Unit() * Marks.Length);
        double angle = dice.Between(0, 2 * Math.PI);
        using var folder = new TemporaryFolder();
        Prepare(folder, truth);

        // The marks as they were really written: one elsewhere. The drawing of the layer below knows nothing of it.
        folder.Write("written.layout", "layout 1\nunit um\nlayer marks\n" + Crosses(bad, DisplacedNanometres * Math.Cos(angle), DisplacedNanometres * Math.Sin(angle)));
        folder.Write("below.layout", "layout 1\nunit um\nlayer electrodes\nlayer marks\n" + Electrodes + Crosses(-1, 0, 0));
        folder.Write("pads.layout", "layout 1\nunit um\nlayer pads\n" + string.Concat(Pads.Select(pad => FormattableString.Invariant($"rect on pads at ({(pad.X / 1000) - 0.2}, {(pad.Y / 1000) - 0.2}) size (0.4, 0.4)\n"))));
        var lab = new Laboratory(truth);
        folder.Write("first.yaml", "job: first\nmachine: machine.yaml\nprocess: process.yaml\nsources: [written.layout]\nfill: {line_pitch: 20 nm, point_step: 20 nm}\n");
        Sample first = lab.Write(DecodedExposure.Read(CompiledExposure.Of(folder["first.yaml"])));
        (SampleWindow, DevelopedFilm)[] films =
            [.. Marks.Select(mark => SampleWindow.Around(mark.X, mark.Y, WindowNanometres + 5600, WindowNanometres + 5600)).Select(window => (window, first.Develop(window, 11)))];

        string looks = "job: second\nmachine: machine.yaml\nprocess: process.yaml\nsources: [pads.layout]\nfill: {line_pitch: 20 nm, point_step: 20 nm}\n"
            + "looks: {below: [below.layout], marks: marks, window: 10 um, within: 2.9 um, step: 40 nm, dwell: " + FormattableString.Invariant($"{DwellMicroseconds(truth):0.#} us") + ", at: {"
            + string.Join(", ", Marks.Select(mark => FormattableString.Invariant($"{mark.Name}: [{mark.X} nm, {mark.Y} nm]"))) + "}}\n";
        folder.Write("second.yaml", looks);
        var messages = new DiagnosticSink();
        var settings = BuildSettings.Read(JobFile.Read(folder["second.yaml"]));
        LookPlan plan = LookPlan.Of(settings, new DiskFiles(), messages, CancellationToken.None);
        using var bytes = new MemoryStream();
        LookExposure.Write(plan, settings, new ExposureStreamWriter(bytes, StreamProfile.Lines), messages);
        var detector = new Detector(truth.UnderResist(), layer, films, new Dice(seed, "detector"));
        Sample look = lab.Look(DecodedExposure.Read(bytes.ToArray()), detector);
        double onDevice = look.Deposits.All().Where(deposit => IsDevice(layer.Under(deposit.X, deposit.Y))).Sum(deposit => (double)deposit.Femtocoulombs);

        AlignmentFit fit;
        try
        {
            fit = Fitted(plan, settings, detector, messages);
        }
        catch (CompileException fault)
        {
            string all = string.Join("; ", messages.Collected.Select(message => message.Message).Append(fault.Diagnostic.Message));
            return (all, all);
        }

        folder.Write("alignment.yaml", AlignmentText.Of(fit));
        folder.Write("aligned.yaml", looks + "alignment: alignment.yaml\n");
        double overlay = Overlay(lab.Write(DecodedExposure.Read(CompiledExposure.Of(folder["aligned.yaml"]))), layer);
        string[] left = [.. fit.Marks.Where(mark => mark.State != MarkState.Used).Select(mark => mark.Mark.Name)];
        string found = FormattableString.Invariant(
            $"overlay {overlay:0.0} nm, displaced {Marks[bad].Name}, left out {string.Join(" ", left)}, rms {fit.RootMeanSquareNanometres:0.0} nm, look on the device {onDevice} fC of {look.Deposits.TotalFemtocoulombs:0} fC")
            + string.Concat(messages.Collected.Where(message => message.Severity != Severity.Note).Select(message => $"; {message.Message}"));
        return (found, overlay < LargestOverlayNanometres && left.SequenceEqual([Marks[bad].Name]) && onDevice == 0 ? null : found);
    }

    // Samples go through the table that a user would bring.
    private static AlignmentFit Fitted(LookPlan plan, BuildSettings settings, Detector detector, DiagnosticSink messages)
    {
        string samples = "sample\n" + string.Concat(detector.Samples.Select(sample => sample.ToString("0.####", CultureInfo.InvariantCulture) + "\n"));
        ImmutableArray<PatternCompiler.Measure.Micrographs.Micrograph> pictures = LookSamples.PicturesOf(plan.Look, Table(samples), "samples.csv");
        string marks = MarkSearch.Table(
            plan, [.. pictures.Select(picture => ((PatternCompiler.Measure.Micrographs.Micrograph, string)?)(picture, "samples.csv"))], settings.Job.Limits, messages, CancellationToken.None);
        return AlignmentFitter.Fit(MarkTable.Of(Table(marks, MarkTable.WordColumns), null), null, messages);
    }

    private static MeasurementTable Table(string text, params ReadOnlySpan<string> words) => MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text)), "table", words);

    // Where the charge of each pad lies, against where the beam finds that place of the first layer.
    private static double Overlay(Sample second, LayerTruth layer)
    {
        double worst = 0;
        foreach ((double padX, double padY) in Pads)
        {
            (double wantedX, double wantedY) = layer.Found(padX, padY);
            Deposit[] near = [.. second.Deposits.All().Where(deposit => Math.Abs(deposit.X - wantedX) < 3000 && Math.Abs(deposit.Y - wantedY) < 3000)];
            double charge = near.Sum(deposit => (double)deposit.Femtocoulombs);
            double x = near.Sum(deposit => (double)deposit.X * deposit.Femtocoulombs) / charge, y = near.Sum(deposit => (double)deposit.Y * deposit.Femtocoulombs) / charge;
            worst = Math.Max(worst, Math.Sqrt(((x - wantedX) * (x - wantedX)) + ((y - wantedY) * (y - wantedY))));
        }

        return worst;
    }

    private static bool IsDevice((double X, double Y) place) => Math.Abs(place.X) <= 30_000 && Math.Abs(place.Y) <= 20_000;

    private static string Crosses(int bad, double byX, double byY) => string.Concat(Marks.Select((mark, i) =>
    {
        (double x, double y) = ((mark.X + (i == bad ? byX : 0)) / 1000, (mark.Y + (i == bad ? byY : 0)) / 1000);
        return FormattableString.Invariant($"rect on marks centre ({x:0.####}, {y:0.####}) size (4, 1)\nrect on marks centre ({x:0.####}, {y:0.####}) size (1, 4)\n");
    }));

    // As long as the resist bears: 45 % of its onset, by I·t / s².
    private static double DwellMicroseconds(LabTruth truth) => Math.Floor(10 * 0.45 * truth.Resist.OnsetMicrocoulombs * 0.01 * 40e-9 * 40e-9 / 100e-12 * 1e6) / 10;

    private static void Prepare(TemporaryFolder folder, LabTruth truth)
    {
        SpreadPart[] parts = [.. truth.Resist.Spread];
        double clearing = truth.Resist.EdgeMicrocoulombs * 100 / truth.Column.CurrentPicoamperes;
        folder.Write("process.yaml", string.Create(
            CultureInfo.InvariantCulture,
            $"process: p\ndose: {{area: {2 * clearing:0.###} uC/cm2, line: 1 nC/cm, dot: 10 fC}}\nresist: {{onset: {truth.Resist.OnsetMicrocoulombs:0.###} uC/cm2, clearing: {clearing:0.###} uC/cm2}}\nspread: {{forward: {parts[0].RangeNanometres:0.###} nm, backscatter: {parts[1].RangeNanometres:0.###} nm, ratio: {parts[1].Ratio:0.####}}}\n"));
        folder.Write("machine.yaml", "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}\ndeflection: {field: 100 um, invert_y: yes}\nsettle: {fixed: 15 us}\n"
            + "clock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 8 MB/s, buffer: 64 KiB}\n");
    }
}
