using System.Globalization;
using System.Text;
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
/// Nine write fields through a night: a stage that is turned and has play, a current that falls from 100 to 82 pA, 40 nm of hum on both axes,
/// and a cable that is pulled amid the fifth field. The stage is sent where each step asks for it, the meter is read at each hold; whoever comes
/// to the silent controller looks where the writing ends and states it. The charge of each field, the seams, the dots of all receivers and the
/// log are then judged.
/// </summary>
public sealed partial class NightTests(CReceiver receiver, ITestOutputHelper console) : IClassFixture<CReceiver>
{
    private const int UsualSeeds = 1;
    private const double LargestError = 0.01;
    private const double LargestSeamNanometres = 100;
    private const double HumNanometres = 40;
    private const double SecondsPerField = 1350;
    private const double LastPicoamperes = 82;
    private const int ReadingsAtOnce = 5;
    private const double Side = 400;
    private const double Seam = 46_500;
    private const double Beside = 3000;
    private const double Play = 3000;
    private const int PulledIn = 5;
    private const int BytesOfTheField = 3000;

    private const string Start =
        "start/rules: yes\nstart/sample: yes\nstart/energy: yes\nstart/magnification: yes\nstart/scan: yes\nstart/polarity: yes\nstart/blanked current: 0.3 pA\nany/stage: yes\n";

    private const string Job =
        "job: night\nmachine: machine.yaml\nprocess: process.yaml\nsources: [squares.layout]\nfill: {line_pitch: 11 codes, point_step: 11 codes, trigger: row}\n"
        + "fields: {size: 95 um, margin: 2 um, first: [-93 um, -93 um]}\nrun: {readings: current, current_within: 30 %}\n";

    [Fact]
    public void Nine_fields_at_night() => LabLoop.Run(console, UsualSeeds, Night);

    private (string Found, bool IsRight) Night(long seed)
    {
        var dice = new Dice(seed, "night");
        LabTruth truth = Truth(seed, dice);
        var lab = new Laboratory(truth);
        var drive = new StageDrive(truth.Stage, new Dice(seed, "stops"));
        (double X, double Y) mark = (dice.Between(-3e5, 3e5), dice.Between(-3e5, 3e5));
        double dose = 2 * truth.Resist.EdgeMicrocoulombs;
        using WorkFolder folder = Folder(dose).With("readings.csv", MarkReadings.Of(drive, truth.Stage, mark, dice));
        string stage = folder.Run("fit", "stage", "readings.csv").Expect(0).Output;
        folder.With("machine.yaml", File.ReadAllText(folder["machine.yaml"]) + stage.Replace("stage:\n", "stage:\n  settle: 1 s\n  step: 1 um\n", StringComparison.Ordinal));

        // Fields and where the stage is sent are as the plan asks for them; the meter is read before each field.
        Step[] steps = Plan(folder.Run("run", "job.yaml", "--dry-run").Expect(0).Output);
        folder.With("answers.yaml", Start + string.Concat(steps.Select((step, i) => string.Create(
            CultureInfo.InvariantCulture, $"{(i == 0 ? "start" : step.Name)}/current: {Enumerable.Range(0, ReadingsAtOnce).Average(_ => lab.CurrentReading(i * SecondsPerField, dice)):0.00} pA\n"))));
        string[] dots = Written(folder, steps);

        // One log with one run, and in the resist every dot of every stream once, in its order.
        JsonElement run = Assert.Single(JsonDocument.Parse(folder.Run("log", "runs.log", "--json").Expect(0).Output).RootElement.GetProperty("runs").EnumerateArray());
        Assert.Equal("written", run.GetProperty("outcome").GetString());
        Assert.Equal(steps.Length, run.GetProperty("steps").GetArrayLength());
        string kept = Assert.Single(Directory.GetDirectories(folder.Path, "runs-*"));
        Assert.Equal(steps.SelectMany(step => Dots(receiver.Receive(File.ReadAllBytes(Path.Combine(kept, step.Name + ".stream")), 16, 1).Actions)), dots);

        (double charge, Sample sample, double end) = Exposed(lab, drive, kept, steps, dose);
        (double seam, int seams) = WorstSeam(sample, mark);
        return (
            string.Create(
                CultureInfo.InvariantCulture,
                $"{dots.Length} dots, each once; current falls to {truth.Column.CurrentAt(end):0.0} pA; largest error of a field's charge {100 * charge:0.00} %; {seams} seams, worst {seam:0.0} nm"),
            charge < LargestError && seam < LargestSeamNanometres && seams == 24);
    }

    private static LabTruth Truth(long seed, Dice dice)
    {
        LabTruth still = LabTruth.Draw(seed, new LabSetup { CurrentPicoamperes = 100, Faults = LabFaults.None });
        return still with
        {
            Column = still.Column with
            {
                CurrentPicoamperes = 100, LossPerSecond = Math.Log(100 / LastPicoamperes) / (8 * SecondsPerField), HumXNanometres = HumNanometres, HumYNanometres = HumNanometres,
            },
            Stage = new StageTruth(dice.Sign() * Math.PI / 180, Play, Play, 10)
            {
                ScaleX = 1 + dice.Normal(0, 0.004), ScaleY = 1 + dice.Normal(0, 0.004), SkewRadians = dice.Normal(0, 0.002), InvertX = dice.Sign() > 0, InvertY = dice.Sign() > 0,
                OriginNanometres = (dice.Between(-1e7, 1e7), dice.Between(-1e7, 1e7)), StepNanometres = 1000,
            },
        };
    }

    private static WorkFolder Folder(double dose)
    {
        var drawing = new StringBuilder("layout 1\nunit nm\nlayer squares\n");
        foreach ((double x, double y) in Squares)
        {
            drawing.Append(CultureInfo.InvariantCulture, $"rect on squares from ({x - (Side / 2)}, {y - (Side / 2)}) to ({x + (Side / 2)}, {y + (Side / 2)})\n");
        }

        return new WorkFolder()
            .With("squares.layout", drawing.ToString())
            .With("job.yaml", Job)
            .With("process.yaml", string.Create(CultureInfo.InvariantCulture, $"process: p\ndose: {{area: {dose:0.###} uC/cm2, line: 1 nC/cm, dot: 1 fC}}\nresist: {{onset: {dose / 4:0.###} uC/cm2, clearing: {dose / 2:0.###} uC/cm2}}\n"))
            .With("machine.yaml",
                "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}\ndeflection: {field: 100 um, invert_y: yes}\nsettle: {fixed: 15 us}\n"
                + "clock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\n"
                + "trigger: {frequency: 50 Hz, longest_wait: 100 ms}\nlink: {rate: 8 MB/s, buffer: 64 KiB}\n");
    }

    // One in the middle of each field, and one on either side of each of the twelve seams.
    private static IEnumerable<(double X, double Y)> Squares =>
        from x in (double[])[-1, 0, 1] from y in (double[])[-1, 0, 1] select (2 * Seam * x, 2 * Seam * y) into middle
        from square in Around(middle.Item1, middle.Item2) select square;

    private static IEnumerable<(double X, double Y)> Around(double x, double y)
    {
        yield return (x, y);
        foreach (int side in (int[])[-1, 1])
        {
            if (Math.Abs(x + (side * Seam)) < 2 * Seam)
            {
                yield return (x + (side * (Seam - Beside)), y);
            }

            if (Math.Abs(y + (side * Seam)) < 2 * Seam)
            {
                yield return (x, y + (side * (Seam - Beside)));
            }
        }
    }

    /// <summary>Sends all of it over a cable that is pulled and over another one; the dots of both receivers.</summary>
    private string[] Written(WorkFolder folder, Step[] steps)
    {
        string[] Command(string link) => ["run", "job.yaml", "--link", link, "--log", "runs.log", "--answers", "answers.yaml", "--timeout", "1", "--retries", "0"];
        string[] first;
        Outcome ended;
        var pull = new Pull(PulledIn, BytesOfTheField);
        using (var pulled = new BadCable(receiver.PathOf("receive"), 16, 1, pull.There, pull.Back))
        {
            ended = folder.Run(Command(pulled.Name)).Expect(4);
            first = Dots(pulled.Finish());
        }

        Assert.True(ended.Errors.Contains($"step {PulledIn - 1} of {steps.Length}, ", StringComparison.Ordinal), ended.Errors);
        Assert.DoesNotContain($"step {PulledIn} of {steps.Length}, ", ended.Errors, StringComparison.Ordinal);
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        string[] resume = [.. Command(cable.Name), "--resume", "last"];
        Match told = Refusal().Match(folder.Run(resume).Expect(1).Errors);
        Assert.True(told.Success);

        // Of what the controller has done behind its last word only the sample tells: its last dots lie in this record.
        string kept = Assert.Single(Directory.GetDirectories(folder.Path, "runs-*"));
        int before = steps.Take(PulledIn - 1).Sum(step => Points(Path.Combine(kept, step.Name + ".stream")).Sum());
        int seen = first.Length - before, records = 0;
        foreach (int points in Points(Path.Combine(kept, steps[PulledIn - 1].Name + ".stream")))
        {
            if (seen <= 0)
            {
                break;
            }

            seen -= points;
            records++;
        }

        Assert.Equal(0, seen);
        Assert.InRange(records, int.Parse(told.Groups["written"].Value, CultureInfo.InvariantCulture), int.MaxValue);
        folder.Run([.. resume, "--from", (records + 1).ToString(CultureInfo.InvariantCulture)]).Expect(0);
        return [.. first, .. Dots(cable.Finish())];
    }

    /// <summary>The night in the lab: the worst error of a field's charge, what is on the sample, and when all is done.</summary>
    private static (double Worst, Sample Sample, double EndSeconds) Exposed(Laboratory lab, StageDrive drive, string kept, Step[] steps, double dose)
    {
        var deposits = new Deposits();
        Sample sample = new(lab.Truth, deposits);
        double worst = 0, time = 0;
        for (int i = 0; i < steps.Length; i++)
        {
            Assert.InRange(time, 0, Math.Max(i * SecondsPerField, 1e-9));
            if (steps[i].From is (double fromX, double fromY))
            {
                drive.MoveTo(fromX, fromY);
            }

            drive.MoveTo(steps[i].Stage.X, steps[i].Stage.Y);
            double before = deposits.TotalFemtocoulombs;
            sample = lab.WriteOn(deposits, DecodedExposure.Read(Path.Combine(kept, steps[i].Name + ".stream")), i * SecondsPerField, drive.Under, out time);

            // Microcoulombs per square centimetre on square nanometres are 1e-5 femtocoulombs each.
            double wanted = dose * Side * Side * 1e-5 * Around(2 * Seam * (steps[i].Column - 2), 2 * Seam * (steps[i].Row - 2)).Count();
            worst = Math.Max(worst, Math.Abs(((deposits.TotalFemtocoulombs - before) / wanted) - 1));
        }

        return (worst, sample, time);
    }

    private static (double Worst, int Seams) WorstSeam(Sample sample, (double X, double Y) mark)
    {
        double worst = 0;
        int seams = 0;
        foreach ((double x, double y) in Squares)
        {
            (double X, double Y)[] others = [.. Squares.Where(other => Math.Abs(Math.Abs(other.X - x) + Math.Abs(other.Y - y) - (2 * Beside)) < 1 && other.X + other.Y > x + y)];
            foreach ((double otherX, double otherY) in others)
            {
                (double aX, double aY) = Off(sample, x + mark.X, y + mark.Y);
                (double bX, double bY) = Off(sample, otherX + mark.X, otherY + mark.Y);
                worst = Math.Max(worst, Math.Max(Math.Abs(aX - bX), Math.Abs(aY - bY)));
                seams += 2;
            }
        }

        return (worst, seams);
    }

    /// <summary>By how much a square's middle in print lies off its place, along and across.</summary>
    private static (double X, double Y) Off(Sample sample, double x, double y)
    {
        DevelopedFilm film = sample.Develop(SampleWindow.Around(x, y, 1400, 1400));
        return (Middle(1, 0), Middle(0, 1));

        double Middle(double stepX, double stepY) =>
            film.DistanceToEdge(x, y, stepX, stepY, 650) is { } up && film.DistanceToEdge(x, y, -stepX, -stepY, 650) is { } down
                ? (up - down) / 2
                : throw new InvalidOperationException(string.Create(CultureInfo.InvariantCulture, $"the square at ({x}, {y}) nm is not where it should be"));
    }

    /// <summary>Dots of each record of a stream.</summary>
    private static IEnumerable<int> Points(string stream) => DecodedExposure.Read(stream).Records.Select(record => (int)record.ExposedPoints);

    private static string[] Dots(string[] actions) => [.. actions.Where(line => line.StartsWith("dot", StringComparison.Ordinal))];

    private static Step[] Plan(string dryRun)
    {
        string[] names = [.. StepLine().Matches(dryRun).Select(match => match.Groups["name"].Value)];
        Dictionary<string, Match> asked = StageQuestion().Matches(dryRun).ToDictionary(match => match.Groups["name"].Value, StringComparer.Ordinal);
        return [.. names.Select(name => new Step(
            name, (Nanometres(asked[name], "x"), Nanometres(asked[name], "y")), asked[name].Groups["fromx"].Success ? (Nanometres(asked[name], "fromx"), Nanometres(asked[name], "fromy")) : null))];
    }

    private static double Nanometres(Match match, string group) => 1000 * double.Parse(match.Groups[group].Value, CultureInfo.InvariantCulture);

    [GeneratedRegex(@"^# step \d+: (?<name>\w+),", RegexOptions.Multiline)]
    private static partial Regex StepLine();

    [GeneratedRegex(@"^# Does the stage show \((?<x>\S+), (?<y>\S+)\) um(, having come from \((?<fromx>\S+), (?<fromy>\S+)\) um)?\?\n# (?<name>\w+)/stage: yes$", RegexOptions.Multiline)]
    private static partial Regex StageQuestion();

    [GeneratedRegex(@"error PC2217: step \S+ ended early; records 1 to (?<written>\d+) of \d+ are written")]
    private static partial Regex Refusal();

    /// <summary>A step as the plan has it.</summary>
    /// <param name="Name">The write field, such as r01c02.</param>
    /// <param name="Stage">Reading to which the stage is sent, in nanometres.</param>
    /// <param name="From">Reading from which it is to come; null where that does not matter.</param>
    private sealed record Step(string Name, (double X, double Y) Stage, (double X, double Y)? From)
    {
        public int Row => int.Parse(Name.AsSpan(1, 2), CultureInfo.InvariantCulture);

        public int Column => int.Parse(Name.AsSpan(4, 2), CultureInfo.InvariantCulture);
    }

    /// <summary>A cable that is pulled so many bytes after the beginning of a stream: nothing comes through any more, either way.</summary>
    private sealed class Pull(int stream, int bytes)
    {
        // The first bytes of a stream, from its page.
        private static readonly byte[] Magic = [0x9C, 0x50, 0x43, 0x58, 0x0D, 0x0A];

        private int met;
        private int begun;
        private int left = bytes;
        private volatile bool isOut;

        public byte? There(long position, byte value)
        {
            met = value == Magic[met] ? met + 1 : value == Magic[0] ? 1 : 0;
            if (met == Magic.Length)
            {
                (met, begun) = (0, begun + 1);
            }

            isOut = isOut || (begun == stream && --left < 0);
            return isOut ? null : value;
        }

        public byte? Back(long position, byte value) => isOut ? null : value;
    }
}
