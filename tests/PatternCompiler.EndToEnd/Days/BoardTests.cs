using System.Globalization;
using System.Text;
using System.Text.Json;
using PatternCompiler.Oracles.Lab;
using PatternCompiler.Oracles.Receiver;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;
using Xunit.Abstractions;

namespace PatternCompiler.EndToEnd.Days;

/// <summary>
/// A new board, before there is a beam: a voltmeter and a scope at its outputs, the receiver in C behind a cable. Voltages are held, read and
/// fitted; the steps of a bring-up are sent and the blank line watched; scope tables of squares give the settling and then lie on the expected
/// traces. The machine file that comes out is compared with the board, of which nobody was told: converters, amplifiers, time constant, delays of the cable.
/// </summary>
public sealed class BoardTests(CReceiver receiver, ITestOutputHelper console) : IClassFixture<CReceiver>
{
    private const int UsualSeeds = 1;
    private const int Dots = 200;
    private const double FieldNanometres = 100_000;
    private const double NanometresPerVolt = FieldNanometres / 20;
    private const double Step = 20.0 / 65536;
    private const double MeterVolts = 50e-6;
    private const double ScopeVolts = 2e-3;
    private const double ScopeStepVolts = 20.0 / 4096;
    private const double ScopeStepSeconds = 0.2e-6;

    // Edges on ticks of 100 ns all fall alike between samples: no delay is known to less than half of one.
    private const double BlankSampleSeconds = 50e-9;

    // Amplifiers may clip at 92 % of the range, and the last reading that shows them to follow is at 87.5 %.
    private const double PartOfField = 0.42;

    // A single reading is off by three standard deviations in one of 370.
    private const double PartBeyond = 0.0027;

    // Of the squares of 500 us, six; jumps of 10 V either way.
    private const int FirstSquare = 200;
    private const int LastSquare = 205;
    private const double SquareSeconds = 500e-6;
    private const double SquareVolts = 10;

    private const string Rest =
        "clock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\nblanker: {active: high}\nbeam: {current: 200 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 8 MB/s, buffer: 64 KiB}\n";

    [Fact]
    public void A_new_board_without_a_beam() => LabLoop.Run(console, UsualSeeds, Day);

    private (string Found, bool IsRight) Day(long seed)
    {
        LabTruth truth = LabTruth.Draw(seed, new LabSetup { Faults = LabFaults.Converters | LabFaults.Amplifiers | LabFaults.Settling });
        var dice = new Dice(seed, "bench");
        using WorkFolder folder = new WorkFolder().With("machine.yaml", Machine("", "settle: {fixed: 20 us}\n"));

        // Volts: held with the beam off, read, fitted, pasted.
        folder.Run("generate", "converter-readings", "--machine", "machine.yaml", "--hold", "2 s", "--table", "readings.csv", "-o", "holds.records").Expect(0);
        folder.Run("emit", "holds.records", "--machine", "machine.yaml", "-o", "holds.stream").Expect(0);
        Assert.Equal(0, Sent(folder, "holds.stream").Dots);
        folder.With("readings.csv", Read(folder, truth, new Dice(seed, "voltmeter")));
        string converters = Pasted(folder.Run("fit", "converter", "readings.csv", "--machine", "machine.yaml").Expect(0).Output);
        folder.With("machine.yaml", Machine(converters, "settle: {fixed: 20 us}\n"));

        // Lines: each step of the bring-up that asks for no beam is sent; the blank line moves in one alone, and a board of the other level does nothing.
        folder.Run("generate", "bring-up", "bench", "--machine", "machine.yaml", "-q").Expect(0);
        foreach (string stream in (string[])["01-hold", "03-squares", "06-blanker-chirp", "07-scan-enable"])
        {
            (int dots, int changes) = Sent(folder, $"bench/{stream}.stream");
            Assert.Equal(stream == "06-blanker-chirp", dots > 0);
            Assert.Equal(2 * dots, changes);
        }

        // Settling: the scope's squares, read off edge by edge, fitted, pasted; and then they lie on what is expected.
        double late = dice.Between(1e-6, 30e-6);
        folder.With("scope.csv", Scope(folder, truth, late, dice));
        (_, _, _, double before) = Compared(folder);
        folder.With("edges.csv", Edges(folder.Read("scope.csv")));
        string settling = folder.Run("fit", "settling", "edges.csv").Expect(0).Output;
        folder.With("machine.yaml", Machine(converters, settling + "  fixed: 1 us\n"));
        folder.Run("generate", "bring-up", "after", "--machine", "machine.yaml", "-q").Expect(0);
        File.Copy(folder["after/03-squares.stream"], folder["bench/03-squares.stream"], overwrite: true);
        (double delay, double gain, double offset, double left) = Compared(folder);
        (double cable, double chirp) = (dice.Between(50e-9, 300e-9), dice.Between(3, 5));
        (double blankDelay, double blankSwing) = Blank(folder, cable, chirp, dice);

        // The verdict: what the machine file says against the board.
        double constant = Constant(settling), board = truth.Field.TimeConstantSeconds;
        (double worst, int avoidable) = Written(folder, truth, new Dice(seed, "dots"));

        // Traces are drawn for outputs as they should be: what they find is what this one has, between the squares' codes.
        Outputs outputs = new(truth, DecodedExposure.Read(folder["bench/03-squares.stream"]).Header);
        (double low, double high) = (outputs.VoltsAt(16384, 32768).X, outputs.VoltsAt(49152, 32768).X);
        (gain, offset) = (gain - (high - low) / SquareVolts, offset - (high + low) / 2);
        string found = string.Create(
            CultureInfo.InvariantCulture,
            $"dots within {worst / Step:0.00} steps, {avoidable} of {2 * Dots} avoidable; time constant {constant * 1e6:0.000} us of {board * 1e6:0.000}; traces: delay off by {(delay - late) * 1e9:0} ns, gain by {gain:0.0000}, offset by {offset * 1e3:0.0} mV, left {left * 1e3:0.0} mV, before {before * 1e3:0.0} mV; blank line delay off by {(blankDelay - cable) * 1e9:0} ns, swing {blankSwing:0.00} of {chirp:0.00} V");
        return (found,
            avoidable <= PartBeyond * 2 * Dots && Math.Abs(constant / board - 1) < 0.02
            && Math.Abs(delay - late) < ScopeStepSeconds && Math.Abs(gain) < 0.0005 && Math.Abs(offset) < 2e-3 && left < 1.5 * Math.Sqrt(ScopeVolts * ScopeVolts + ScopeStepVolts * ScopeStepVolts / 12)
            && before > 3 * left && Math.Abs(blankDelay - cable) < 0.5 * BlankSampleSeconds + 2e-9 && Math.Abs(blankSwing / chirp - 1) < 0.01);
    }

    private static string Machine(string deflection, string settle) =>
        "machine: board\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}\ndeflection:\n  field: 100 um\n" + deflection + settle + Rest;

    private static string Pasted(string fragment) => string.Concat(fragment.Split('\n').Where(line => line.StartsWith("  ", StringComparison.Ordinal)).Select(line => line + "\n"));

    private static double Constant(string settling)
    {
        string line = settling.Split('\n').First(line => line.TrimStart().StartsWith("time_constant: ", StringComparison.Ordinal));
        string[] words = line.Trim().Split(' ');
        return double.Parse(words[1], CultureInfo.InvariantCulture) * (words[2] switch { "us" => 1e-6, "ns" => 1e-9, _ => throw new InvalidOperationException(line) });
    }

    /// <summary>Sends a stream down the cable: how many dots the receiver made, and how often a board of this level moved its blank line after it was set at rest.</summary>
    private (int Dots, int Changes) Sent(WorkFolder folder, string stream)
    {
        int dots;
        using (var cable = new BadCable(receiver.PathOf("receive"), 16, 1))
        {
            folder.Run("send", stream, "--link", cable.Name, "-q").Expect(0);
            string[] actions = cable.Finish();
            Assert.Equal("beam off", actions[^1]);
            dots = actions.Count(action => action.StartsWith("dot ", StringComparison.Ordinal));
        }

        (int exitCode, _, string[] onBoard) = receiver.Receive(folder.Read(stream), 16, 1, level: 1);
        Assert.Equal(0, exitCode);
        Assert.Equal("line high", onBoard[0]);
        Assert.Equal(dots, onBoard.Count(action => action.StartsWith("dot ", StringComparison.Ordinal)));
        string[] lines = [.. onBoard.Where(action => action.StartsWith("line ", StringComparison.Ordinal))];
        Assert.Equal("line high", lines[^1]);
        (int refused, _, string[] nothing) = receiver.Receive(folder.Read(stream), 16, 1, level: 0);
        Assert.NotEqual(0, refused);
        Assert.DoesNotContain(nothing, action => action.StartsWith("dot ", StringComparison.Ordinal) || action.StartsWith("jump ", StringComparison.Ordinal));
        return (dots, lines.Length - 1);
    }

    // The table is filled in hold by hold.
    private static string Read(WorkFolder folder, LabTruth truth, Dice dice)
    {
        DecodedExposure stream = DecodedExposure.Read(folder["holds.stream"]);
        var meter = new Voltmeter(new Outputs(truth, stream.Header), dice, MeterVolts);
        string[] lines = File.ReadAllLines(folder["readings.csv"]);
        StreamRecord[] holds = [.. stream.Records];
        Assert.Equal(lines.Length - 2, holds.Length);
        return lines[1] + "\n" + string.Concat(lines[2..].Zip(holds, (line, hold) =>
        {
            string[] cells = line.Split(',', StringSplitOptions.TrimEntries);
            return string.Create(CultureInfo.InvariantCulture, $"{cells[0]}, {cells[1]}, {cells[2]}, {meter.Read(cells[0][0], hold.X, hold.Y):0.00000}, {cells[4]}\n");
        }));
    }

    // What a scope shows of both outputs, so much later than the stream: 12 bits, a few millivolts of noise.
    private static string Scope(WorkFolder folder, LabTruth truth, double late, Dice dice)
    {
        DecodedExposure stream = DecodedExposure.Read(folder["bench/03-squares.stream"]);
        var outputs = new Outputs(truth, stream.Header);
        double seconds = 0;
        var edges = new List<(double At, (double X, double Y) Volts)>();
        for (int i = 0; i <= LastSquare; i++)
        {
            StreamRecord record = stream.Records[i];
            if (i >= FirstSquare - 1)
            {
                edges.Add((seconds, outputs.VoltsAt(record.X, record.Y)));
            }

            seconds += record.Ticks * 1e-7;
        }

        // The window that is compared begins with the first square; the output has come to rest in the one before.
        double begin = edges[1].At, constant = truth.Field.TimeConstantSeconds;
        var table = new StringBuilder("Time (us);x (V);y (V)\n");
        (double X, double Y) now = edges[0].Volts;
        int edge = 0;
        double time = edges[0].At;
        for (double shown = begin; shown < seconds; shown += ScopeStepSeconds)
        {
            double at = shown - late;
            while (edge + 1 < edges.Count && edges[edge + 1].At <= at)
            {
                now = Follow(now, edges[edge].Volts, edges[edge + 1].At - time);
                time = edges[++edge].At;
            }

            (double x, double y) = at <= time ? now : Follow(now, edges[edge].Volts, at - time);
            table.Append(CultureInfo.InvariantCulture, $"{(shown - begin) * 1e6:0.0};{Shown(x):0.00000};{Shown(y):0.00000}\n");
        }

        return table.ToString();

        (double X, double Y) Follow((double X, double Y) from, (double X, double Y) goal, double passed)
        {
            double part = Math.Exp(-passed / constant);
            return (goal.X + (from.X - goal.X) * part, goal.Y + (from.Y - goal.Y) * part);
        }

        double Shown(double volts) => ScopeStepVolts * Math.Round((volts + dice.Normal(0, ScopeVolts)) / ScopeStepVolts);
    }

    // Read off the screen: where an edge begins, where it ends, and how far from that it is so long after; the mean of the edges.
    private static string Edges(byte[] scope)
    {
        (double Time, double Volts)[] samples = [.. Encoding.ASCII.GetString(scope).Split('\n').Skip(1).Where(line => line.Length > 0)
            .Select(line => line.Split(';')).Select(cells => (double.Parse(cells[0], CultureInfo.InvariantCulture), double.Parse(cells[1], CultureInfo.InvariantCulture)))];
        List<int> begins = [];
        for (int i = 3; i < samples.Length; i++)
        {
            if (Math.Abs(samples[i].Volts - samples[i - 3].Volts) > 0.2 && (begins.Count == 0 || samples[i].Time - samples[begins[^1]].Time > 0.5e6 * SquareSeconds))
            {
                begins.Add(i - 1);
            }
        }

        begins.RemoveAll(begin => samples[begin].Time + 0.9e6 * SquareSeconds > samples[^1].Time);
        Assert.InRange(begins.Count, 4, 6);
        var table = new StringBuilder("jump [um], wait [us], displacement [nm]\n");
        foreach (int wait in (int[])[2, 4, 6, 8, 12, 16, 24])
        {
            double left = begins.Average(begin =>
            {
                double end = samples.Where(sample => sample.Time > samples[begin].Time + 0.6e6 * SquareSeconds && sample.Time < samples[begin].Time + 0.9e6 * SquareSeconds).Average(sample => sample.Volts);
                double then = samples.Where(sample => Math.Abs(sample.Time - samples[begin].Time - wait) < 0.05).Average(sample => sample.Volts);
                return (end - then) * Math.Sign(end - samples[begin - 5].Volts);
            });
            table.Append(CultureInfo.InvariantCulture, $"{SquareVolts * NanometresPerVolt / 1000:0.#}, {wait}, {left * NanometresPerVolt:0}\n");
        }

        return table.ToString();
    }

    private static double StartOf(DecodedExposure stream, int record) => stream.Records.Take(record).Sum(item => item.Ticks) * 1e-7;

    private static string Microseconds(double seconds) => string.Create(CultureInfo.InvariantCulture, $"{seconds * 1e6:0.0} us");

    /// <summary>Delay, gain, offset and what is left of the x output against what the machine file lets expect.</summary>
    private static (double Delay, double Gain, double Offset, double Left) Compared(WorkFolder folder)
    {
        folder.Run("preview", "bench/03-squares.stream", "--traces", "--machine", "machine.yaml", "--records", $"{FirstSquare},{LastSquare}", "--measured", "scope.csv", "--trigger", Microseconds(StartOf(DecodedExposure.Read(folder["bench/03-squares.stream"]), FirstSquare)), "--channels", "x,-", "--numbers", "numbers.json", "-o", "traces.png").Expect(0);
        using JsonDocument json = JsonDocument.Parse(folder.Read("numbers.json"));
        JsonElement found = json.RootElement.GetProperty("traces")[0];
        return (Number("delaySeconds"), Number("gain"), Number("offsetVolts"), Number("rmsVolts"));

        double Number(string name) => found.TryGetProperty(name, out JsonElement value) ? value.GetDouble() : throw new InvalidOperationException($"{name}: {found}");
    }

    /// <summary>The blank line of the chirp behind a cable: delay, and volts from low to high.</summary>
    private static (double Delay, double Swing) Blank(WorkFolder folder, double late, double swing, Dice dice)
    {
        const int First = 1600, Last = 1639;
        DecodedExposure stream = DecodedExposure.Read(folder["bench/06-blanker-chirp.stream"]);
        double seconds = 0, begin = 0;
        List<(double At, bool IsHigh)> levels = [];
        for (int i = 0; i <= Last; i++)
        {
            begin = i == First ? seconds : begin;
            levels.Add((seconds, stream.Records[i].ExposedPoints == 0));
            seconds += stream.Records[i].Ticks * 1e-7;
        }

        long samples = (long)((seconds - begin) / BlankSampleSeconds);
        Assert.InRange(samples, 500, 50_000);
        var table = new StringBuilder("Time (us);blank (V)\n");
        int at = 0;
        for (long i = 0; i < samples; i++)
        {
            double time = begin + i * BlankSampleSeconds;
            while (at + 1 < levels.Count && levels[at + 1].At <= time - late)
            {
                at++;
            }

            table.Append(CultureInfo.InvariantCulture, $"{i * BlankSampleSeconds * 1e6:0.00};{(levels[at].IsHigh ? swing : 0) + dice.Normal(0, 0.02):0.000}\n");
        }

        folder.With("blank.csv", table.ToString());
        folder.Run("preview", "bench/06-blanker-chirp.stream", "--traces", "--records", $"{First},{Last}", "--measured", "blank.csv", "--trigger", Microseconds(begin), "--numbers", "blank.json", "-o", "blank.png").Expect(0);
        using JsonDocument json = JsonDocument.Parse(folder.Read("blank.json"));
        JsonElement found = json.RootElement.GetProperty("traces")[0];
        Assert.Equal("blank", found.GetProperty("line").GetString());
        return (found.GetProperty("delaySeconds").GetDouble(), found.GetProperty("gain").GetDouble());
    }

    // Dots at random places: where the file leads to a voltage that is off by more than a step though another code is nearer, it is wrong.
    private static (double Worst, int Avoidable) Written(WorkFolder folder, LabTruth truth, Dice dice)
    {
        (double X, double Y)[] places = [.. Enumerable.Range(0, Dots).Select(_ => (Math.Round(PartOfField * FieldNanometres * dice.Between(-1, 1)), Math.Round(PartOfField * FieldNanometres * dice.Between(-1, 1))))];
        folder.With("dots.layout", "layout 1\nunit nm\nlayer dots\n" + string.Concat(places.Select(place => FormattableString.Invariant($"dot on dots at ({place.X}, {place.Y})\n"))))
            .With("dots.yaml", "job: j\nmachine: machine.yaml\nsources: [dots.layout]\norder: {by: as given}\noutputs: [{file: dots.stream, format: stream}]\n");
        folder.Run("build", "dots.yaml", "-q").Expect(0);
        DecodedExposure stream = DecodedExposure.Read(folder["dots.stream"]);
        var outputs = new Outputs(truth, stream.Header);
        double worst = 0, limit = Math.Max(Step, 3 * MeterVolts);
        int avoidable = 0;
        StreamRecord[] dots = [.. stream.Records.Where(record => record.ExposedPoints > 0)];
        Assert.Equal(Dots, dots.Length);
        foreach ((StreamRecord dot, (double X, double Y) place) in dots.Zip(places))
        {
            Judge(shift => outputs.VoltsAt(dot.X + shift, dot.Y).X - place.X / NanometresPerVolt);
            Judge(shift => outputs.VoltsAt(dot.X, dot.Y + shift).Y - place.Y / NanometresPerVolt);
        }

        return (worst, avoidable);

        void Judge(Func<int, double> errorOf)
        {
            double error = Math.Abs(errorOf(0));
            worst = Math.Max(worst, error);
            avoidable += error > limit && Enumerable.Range(-12, 25).Any(shift => Math.Abs(errorOf(shift)) <= limit) ? 1 : 0;
        }
    }
}
