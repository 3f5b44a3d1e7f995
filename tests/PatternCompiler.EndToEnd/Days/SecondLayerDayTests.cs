using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using PatternCompiler.Oracles.Lab;
using PatternCompiler.Oracles.Receiver;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;
using Xunit.Abstractions;

namespace PatternCompiler.EndToEnd.Days;

/// <summary>
/// Electrodes with five marks are written, the sample is developed, coated and put back turned by 0.8 degrees, 0.4 % off in scale, skewed by 0.2 % and
/// moved by 1.9 um, and one mark lies 0.3 um from where it was written. The beam looks at the marks, the layer's place is fitted, the mark that is wrong
/// left out by its name, and the pads are written on the electrodes: all by script, with answers from a file, and one log that holds both layers and the look.
/// Overlay is held to 50 nm, a sixth of what the displaced mark would do. Of 200 seeds 29, 153 and 197 are known to miss, where pictures of marks are
/// too noisy.
/// </summary>
public sealed partial class SecondLayerDayTests(CReceiver receiver, ITestOutputHelper console) : IClassFixture<CReceiver>
{
    private const int UsualSeeds = 1;
    private const double LargestOverlayNanometres = 50;
    private const double DisplacedNanometres = 300;
    private const double WindowNanometres = 10_000;
    private const double Margin = 2800;

    private const string Start =
        "start/rules: yes\nstart/sample: yes\nstart/energy: yes\nstart/magnification: yes\nstart/scan: yes\nstart/polarity: yes\nstart/blanked current: 0.2 pA\n";

    private const string Settings = "machine: machine.yaml\nprocess: process.yaml\nfill: {line_pitch: 20 nm, point_step: 20 nm}\n";
    private static readonly (string Name, double X, double Y)[] Marks = [("SW", -23_500, -32_400), ("SE", 23_500, -32_400), ("E", 38_000, 12_400), ("W", -38_000, 12_400), ("N", 0, 40_000)];
    private static readonly (double X, double Y)[] Pads = [(-28_000, -18_000), (0, -18_000), (28_000, -18_000), (-28_000, 0), (0, 0), (28_000, 0), (-28_000, 18_000), (0, 18_000), (28_000, 18_000)];

    [Fact]
    public void Second_layer_with_one_mark_displaced() => LabLoop.Run(console, UsualSeeds, Day);

    private (string Found, bool IsRight) Day(long seed)
    {
        LabTruth truth = LabTruth.Draw(seed, new LabSetup { Faults = LabFaults.Converters, CurrentPicoamperes = 100 });
        var lab = new Laboratory(truth);
        var layer = LayerTruth.Draw(0.8, 0.004, 0.002, 1900, new Dice(seed, "layer"));
        var dice = new Dice(seed, "displaced mark");
        int bad = (int)(dice.Unit() * Marks.Length);
        double angle = dice.Between(0, 2 * Math.PI);
        using WorkFolder folder = Folder(truth, FormattableString.Invariant($"{lab.CurrentReading(0, dice):0.0} pA"));

        // The first layer; what is developed of it is seen around the marks, and one mark elsewhere.
        DecodedExposure first = Written(folder, "first.yaml");
        Sample sample = lab.Write(first);
        Sample moved = lab.WriteOn(new Deposits(), first, 0, (DisplacedNanometres * Math.Cos(angle), DisplacedNanometres * Math.Sin(angle)), out _);
        (SampleWindow, DevelopedFilm)[] films =
        [
            .. Marks.Select((mark, i) => (SampleWindow.Around(mark.X, mark.Y, WindowNanometres + (2 * Margin), WindowNanometres + (2 * Margin)), i == bad ? moved : sample))
                .Select(part => (part.Item1, part.Item2.Develop(part.Item1, 11))),
        ];

        // The look: it is sent like any exposure, and brings nothing to the electrodes.
        Outcome plan = folder.Run("generate", "looks", "--job", "second.yaml", "-o", "looks.records").Expect(0);
        Assert.Contains("the look's dose on the device is 0: ", plan.Errors, StringComparison.Ordinal);
        folder.Run("emit", "looks.records", "--machine", "machine.yaml", "-o", "looks.stream").Expect(0);
        Received(cable => folder.Run("send", "looks.stream", "--link", cable, "--log", "runs.log", "--note", "step=look").Expect(0));
        var detector = new Detector(truth.UnderResist(), layer, films, new Dice(seed, "detector"));
        Sample look = lab.Look(DecodedExposure.Read(folder["looks.stream"]), detector);
        double onDevice = look.Deposits.All().Select(deposit => layer.Under(deposit.X, deposit.Y)).Count(place => Math.Abs(place.X) <= 30_000 && Math.Abs(place.Y) <= 20_000);
        folder.With("samples.csv", "sample\n" + string.Concat(detector.Samples.Select(value => value.ToString("0.####", CultureInfo.InvariantCulture) + "\n")));

        // Where the first layer lies, and the second on it.
        Outcome located = folder.Run("locate", "samples.csv", "--job", "second.yaml", "-o", "marks.csv").Expect(0);
        Outcome fitted = folder.Run("fit", "alignment", "marks.csv", "-o", "alignment.yaml");
        if (fitted.ExitCode != 0)
        {
            return (located.Errors + fitted.Errors, false);
        }

        folder.With("second.yaml", File.ReadAllText(folder["second.yaml"]) + "alignment: alignment.yaml\n");
        double overlay = Overlay(lab.Write(Written(folder, "second.yaml")), layer);
        string[] left = [.. LeftOut().Matches(fitted.Errors).Select(match => match.Groups["mark"].Value)];

        // One log tells of all three, and of nothing else.
        JsonElement[] runs = [.. JsonDocument.Parse(folder.Run("log", "runs.log", "--json").Expect(0).Output).RootElement.GetProperty("runs").EnumerateArray()];
        Assert.Equal(["written", "written", "written"], runs.Select(run => run.GetProperty("outcome").GetString()));
        return (
            string.Create(CultureInfo.InvariantCulture, $"overlay {overlay:0.0} nm, displaced {Marks[bad].Name}, left out {string.Join(' ', left)}, {onDevice} deposits of the look on the device"),
            overlay < LargestOverlayNanometres && onDevice == 0 && left.SequenceEqual([Marks[bad].Name]));
    }

    /// <summary>Runs a job by its answers; the stream that the run has kept, every dot of which the controller has made.</summary>
    private DecodedExposure Written(WorkFolder folder, string job)
    {
        string[] before = Directory.GetDirectories(folder.Path, "runs-*");
        string[] dots = Received(cable => folder.Run("run", job, "--link", cable, "--log", "runs.log", "--answers", "answers.yaml").Expect(0));
        string kept = Assert.Single(Directory.GetDirectories(folder.Path, "runs-*").Except(before, StringComparer.Ordinal));
        string stream = Assert.Single(Directory.GetFiles(kept, "*.stream"));
        Assert.Equal(receiver.Receive(File.ReadAllBytes(stream), 16, 1).Actions.Where(IsDot), dots);
        return DecodedExposure.Read(stream);
    }

    private string[] Received(Action<string> send)
    {
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        send(cable.Name);
        return [.. cable.Finish().Where(IsDot)];
    }

    private static bool IsDot(string action) => action.StartsWith("dot", StringComparison.Ordinal);

    private static WorkFolder Folder(LabTruth truth, string current)
    {
        SpreadPart[] parts = [.. truth.Resist.Spread];
        double clearing = truth.Resist.EdgeMicrocoulombs * 100 / truth.Column.CurrentPicoamperes;

        // As long as the resist bears: 45 % of its onset, by I·t / s².
        double dwell = Math.Floor(10 * 0.45 * truth.Resist.OnsetMicrocoulombs * 0.01 * 40e-9 * 40e-9 / 100e-12 * 1e6) / 10;
        string at = string.Join(", ", Marks.Select(mark => FormattableString.Invariant($"{mark.Name}: [{mark.X} nm, {mark.Y} nm]")));
        return new WorkFolder()
            .With("answers.yaml", $"{Start}start/current: {current}\n")
            .With("below.layout", "layout 1\nunit um\nlayer electrodes\nlayer marks\nrect on electrodes at (-30, -20) size (60, 40)\n" + string.Concat(Marks.Select(mark => FormattableString.Invariant(
                $"rect on marks centre ({mark.X / 1000}, {mark.Y / 1000}) size (4, 1)\nrect on marks centre ({mark.X / 1000}, {mark.Y / 1000}) size (1, 4)\n"))))
            .With("pads.layout", "layout 1\nunit um\nlayer pads\n" + string.Concat(Pads.Select(pad => FormattableString.Invariant($"rect on pads at ({(pad.X / 1000) - 0.2}, {(pad.Y / 1000) - 0.2}) size (0.4, 0.4)\n"))))

            // Of the first layer the marks are what counts here.
            .With("first.yaml", $"job: electrodes\n{Settings}sources: [{{file: below.layout, layers: [marks]}}]\n")
            .With("second.yaml", FormattableString.Invariant(
                $"job: pads\n{Settings}sources: [pads.layout]\nlooks: {{below: [below.layout], marks: marks, window: 10 um, within: 2.9 um, step: 40 nm, dwell: {dwell:0.#} us, at: {{{at}}}}}\n"))
            .With("process.yaml", string.Create(
                CultureInfo.InvariantCulture,
                $"process: p\ndose: {{area: {2 * clearing:0.###} uC/cm2, line: 1 nC/cm, dot: 10 fC}}\nresist: {{onset: {truth.Resist.OnsetMicrocoulombs:0.###} uC/cm2, clearing: {clearing:0.###} uC/cm2}}\nspread: {{forward: {parts[0].RangeNanometres:0.###} nm, backscatter: {parts[1].RangeNanometres:0.###} nm, ratio: {parts[1].Ratio:0.####}}}\n"))
            .With("machine.yaml",
                "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}\ndeflection: {field: 100 um, invert_y: yes}\nsettle: {fixed: 15 us}\n"
                + "clock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 8 MB/s, buffer: 64 KiB}\n");
    }

    // Where the charge of each pad lies, against where the beam finds that place of the first layer.
    private static double Overlay(Sample second, LayerTruth layer) => Pads.Max(pad =>
    {
        (double wantedX, double wantedY) = layer.Found(pad.X, pad.Y);
        Deposit[] near = [.. second.Deposits.All().Where(deposit => Math.Abs(deposit.X - wantedX) < 3000 && Math.Abs(deposit.Y - wantedY) < 3000)];
        double charge = near.Sum(deposit => (double)deposit.Femtocoulombs);
        double x = near.Sum(deposit => (double)deposit.X * deposit.Femtocoulombs) / charge, y = near.Sum(deposit => (double)deposit.Y * deposit.Femtocoulombs) / charge;
        return Math.Sqrt(((x - wantedX) * (x - wantedX)) + ((y - wantedY) * (y - wantedY)));
    });

    [GeneratedRegex(@"warning PC4062: mark '(?<mark>\w+)' is left out: ")]
    private static partial Regex LeftOut();
}
