using System.Diagnostics;
using System.Security.Cryptography;
using System.Text.Json;
using System.Text.RegularExpressions;
using PatternCompiler.Oracles.Receiver;

namespace PatternCompiler.EndToEnd;

/// <summary>The send command over a pseudo-terminal to the receiver in C.</summary>
public sealed partial class SendTests(CReceiver receiver) : IClassFixture<CReceiver>
{
    private const string Header = "records 1\nmachine \"m\"\nbits 16\nrange -10 10 V\ncoding offset-binary\nfull-scale one-beyond-last-code\nclock 1000000 Hz\ndwell 1 65535 ticks\nstep 1 1 nm\naxes straight\n";

    [Fact]
    public void A_stream_is_sent_through_a_cable_that_flips_bits()
    {
        using WorkFolder folder = WithStream(500);
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1, (n, b) => n == 6000 ? (byte)(b ^ 4) : b);
        Outcome outcome = Executable.Run(
            folder.Path, ["send", "chip.stream", "--link", cable.Name, "--timeout", "1", "--log", "chip.log"]).Expect(0);
        Assert.Matches("^the receiver (found a block damaged|missed a block); going on after \\d+ records\nsent: 501 records written in [0-9.]+ s, 1 retry\n$", outcome.Errors);
        Assert.Equal("", outcome.Output);
        JsonElement[] lines = Lines(folder, "chip.log");
        Assert.Equal(("started", 1, "m", 501L, 1L), (
            lines[0].GetProperty("event").GetString(), lines[0].GetProperty("part").GetInt32(), lines[0].GetProperty("machine").GetString(),
            lines[0].GetProperty("records").GetInt64(), lines[0].GetProperty("from").GetInt64()));
        Assert.Equal(Convert.ToHexStringLower(SHA256.HashData(folder.Read("chip.stream"))), lines[0].GetProperty("sha256").GetString());
        Assert.Contains(lines, line => line.GetProperty("event").GetString() == "fault" && line.GetProperty("text").GetString()!.Contains("going on after", StringComparison.Ordinal));
        Assert.Equal(("written", 501L, 1), (lines[^1].GetProperty("event").GetString(), lines[^1].GetProperty("written").GetInt64(), lines[^1].GetProperty("retries").GetInt32()));
        Assert.All(lines, line => Assert.InRange(line.GetProperty("time").GetDateTime(), TimeProvider.System.GetUtcNow().UtcDateTime.AddMinutes(-10), TimeProvider.System.GetUtcNow().UtcDateTime));

        // What is in the resist by the log is not sent again.
        Assert.Matches(
            @"^chip\.log: error PC2202: records 200 to 501 of this stream are in the resist by this log: the run ended \d{4}-\d\d-\d\d \d\d:\d\d:\d\d UTC; for another sample send the whole stream, or name another log\n$",
            Executable.Run(folder.Path, ["send", "chip.stream", "--link", cable.Name, "--log", "chip.log", "--from", "200"]).Expect(1).Errors);
        folder.With("notes.txt", "remember the milk\n");
        Assert.Equal(
            "notes.txt:1: error PC2201: this is not a line of a log of runs, and nothing is added to another file; name another file for the log\n",
            Executable.Run(folder.Path, ["send", "chip.stream", "--link", cable.Name, "--log", "notes.txt"]).Expect(1).Errors);
        Assert.Equal("remember the milk\n", File.ReadAllText(Path.Combine(folder.Path, "notes.txt")));
        Assert.Equal(lines.Length, Lines(folder, "chip.log").Length);
        Assert.Equal(Dots(500), DotsOf(cable.Finish()));
    }

    [Fact]
    public void A_serial_port_is_set_up_by_its_rate()
    {
        using WorkFolder folder = WithStream(100);
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        Executable.Run(folder.Path, ["send", "chip.stream", "--link", cable.Name, "--baud", "115200"]).Expect(0);
        Assert.Equal(Dots(100), DotsOf(cable.Finish()));
    }

    [Fact]
    public async Task Interrupted_it_stops_the_receiver_and_says_how_to_go_on()
    {
        using WorkFolder folder = WithStream(3000);
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1, (n, b) =>
        {
            if (n % 500 == 499)
            {
                Thread.Sleep(100);
            }

            return b;
        });
        using Process process = Executable.Start(folder.Path, ["send", "chip.stream", "--link", cable.Name, "--log", "runs.log"]);
        Task<string> errors = process.StandardError.ReadToEndAsync();
        string log = Path.Combine(folder.Path, "runs.log");
        var watch = Stopwatch.StartNew();
        while (!(File.Exists(log) && Regex.IsMatch(await File.ReadAllTextAsync(log), "\"written\":[1-9]")))
        {
            Assert.True(watch.Elapsed < TimeSpan.FromMinutes(1));
            await Task.Delay(50);
        }

        Executable.Signal(process, "INT");
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(20));
        await process.WaitForExitAsync(patience.Token);
        string said = await errors;
        Match told = Stopped().Match(said);
        Assert.True(told.Success, said);
        Assert.Equal(130, process.ExitCode);

        Executable.Run(folder.Path, ["send", "chip.stream", "--link", cable.Name, "--from", told.Groups[1].Value, "--log", "runs.log"]).Expect(0);
        Assert.Equal(Dots(3000), DotsOf(cable.Finish()));

        // Both parts are one run.
        JsonElement[] lines = Lines(folder, "runs.log");
        Assert.Single(lines.Select(line => line.GetProperty("run").GetString()).Distinct());
        Assert.Equal(["started", "stopped", "started", "written"], lines.Select(line => line.GetProperty("event").GetString()).Where(what => what is not ("progress" or "fault")));
        Assert.Equal([1, 2], lines.Select(line => line.GetProperty("part").GetInt32()).Distinct());
    }

    [Fact]
    public void A_dry_run_says_what_would_be_sent_and_opens_nothing()
    {
        using WorkFolder folder = WithStream(10);
        Outcome outcome = Executable.Run(folder.Path, ["send", "chip.stream", "--link", "/dev/there/is/none", "--dry-run"]).Expect(0);
        Assert.Equal(
            "valid stream for m: 16 bits, words of 2 bytes, profile lines\n11 records, 10 points, 63 us of writing; nothing was sent\n",
            outcome.Errors);
    }

    [Fact]
    public void Without_a_port_there_is_one_clear_line()
    {
        using WorkFolder folder = WithStream(10);
        Outcome outcome = Executable.Run(folder.Path, ["send", "chip.stream", "--link", "no-such-port"]).Expect(4);
        Assert.Equal("no-such-port: error PC0002: there is no such port or device; check the cable and the name\n", outcome.Errors);
    }

    [Theory]
    [InlineData(ReceiverHabit.DoneEarly, "^chip.stream: error PC2050: the receiver says that it is done before the end; (records 1 to \\d+ are written; )?of records \\d+ to \\d+ nothing is known: they may be written, in part or not at all; the receiver confirms that the beam is off; no command goes on safely: look at the sample, and send from the first record that is missing there\n$")]
    [InlineData(ReceiverHabit.ClaimsMore, "^chip.stream: error PC2050: the receiver says that it has written more than it was sent; .*nothing is known: .*; the receiver confirms that the beam is off; no command goes on safely: .*\n$")]
    [InlineData(ReceiverHabit.TakesBack, "^chip.stream: error PC2050: the receiver takes back what it said was written; records 1 to \\d+ are written.*\n$")]
    [InlineData(ReceiverHabit.Resets, "^chip.stream: error PC2050: the receiver has started anew and knows nothing of the exposure; records 1 to \\d+ are written; of records \\d+ to \\d+ nothing is known: .*\n$")]
    [InlineData(ReceiverHabit.CutsOnInterlock, "^chip.stream: error PC2022: the receiver's hardware objects; records 1 to \\d+ are written, record \\d+ \\(a dot\\) was cut short and has a part of its dose, nothing after it is written; the receiver confirms that the beam is off; look at the sample, then send from record \\d+ to repeat it, or from record \\d+ to skip it\n$")]
    public void A_receiver_that_is_reset_lies_or_cuts_is_never_sent_anything_twice(ReceiverHabit habit, string told)
    {
        using WorkFolder folder = WithStream(3000);
        using var receiver = new PageReceiver(habit);
        Outcome outcome = Executable.Run(folder.Path, ["send", "chip.stream", "--link", receiver.Name, "--timeout", "3"]).Expect(4);
        Assert.Matches(told, outcome.Errors);
        Assert.Equal(1, receiver.Headers);
        Assert.InRange(receiver.RecordsWritten, 0, 3000);
    }

    /// <summary>Units of a jump, a trigger, a wait and a dot, 32 bytes: every block begins with a unit.</summary>
    [Fact]
    public void Without_an_edge_the_exposure_ends_and_may_go_on_from_the_wait()
    {
        using var folder = new WorkFolder();
        string units = string.Concat(Enumerable.Range(0, 100).Select(i => $"jump {i} 9 5\ntrigger 100000\nwait 7\ndot {i} 9 4\n"));
        File.WriteAllText(Path.Combine(folder.Path, "chip.records"), $"{Header}waits-for trigger\n{units}end 400 100 1600\n");
        Executable.Run(folder.Path, ["emit", "chip.records", "-o", "chip.stream", "-q"]).Expect(0);
        using (var receiver = new PageReceiver(ReceiverHabit.NoEdge))
        {
            Assert.Equal(
                "chip.stream: error PC2021: no edge came to the receiver's trigger input; records 1 to 129 are written, and nothing after them; the receiver confirms that the beam is off; check the cable of the trigger input and the frequency that the machine file states; fix the cause, then send from record 130\n",
                Executable.Run(folder.Path, ["send", "chip.stream", "--link", receiver.Name, "--timeout", "3"]).Expect(4).Errors);
            Assert.Equal(1, receiver.Headers);
        }

        // Sent from the wait on, it is reached by a jump.
        using var rest = new PageReceiver(ReceiverHabit.Honest);
        Executable.Run(folder.Path, ["send", "chip.stream", "--link", rest.Name, "--from", "130"]).Expect(0);
        Assert.Equal(400 - 129 + 1, rest.RecordsWritten);
    }

    [Fact]
    public void A_receiver_that_keeps_to_the_page_is_sent_everything()
    {
        using WorkFolder folder = WithStream(3000);
        using var receiver = new PageReceiver(ReceiverHabit.Honest);
        Outcome outcome = Executable.Run(folder.Path, ["send", "chip.stream", "--link", receiver.Name]).Expect(0);
        Assert.Matches("^sent: 3001 records written in [0-9.]+ s, no retries\n$", outcome.Errors);
        Assert.Equal(3001, receiver.RecordsWritten);
    }

    [Fact]
    public async Task Interrupted_within_a_record_it_leaves_the_record_to_the_operator()
    {
        using WorkFolder folder = WithStream(3000);
        using var receiver = new PageReceiver(ReceiverHabit.CutsOnStop);
        using Process process = Executable.Start(folder.Path, ["send", "chip.stream", "--link", receiver.Name]);
        Task<string> errors = process.StandardError.ReadToEndAsync();
        await Task.Delay(3000);
        Executable.Signal(process, "INT");
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(20));
        await process.WaitForExitAsync(patience.Token);
        Assert.Matches(
            "^chip.stream: error PC2022: stop requested; records 1 to \\d+ are written, record \\d+ \\(a dot\\) was cut short and has a part of its dose, nothing after it is written; the receiver confirms that the beam is off; look at the sample, then send from record \\d+ to repeat it, or from record \\d+ to skip it\n$",
            await errors);
        Assert.Equal(4, process.ExitCode);
    }

    [Fact]
    public void The_receiver_in_C_that_is_reset_within_an_exposure_ends_it()
    {
        using WorkFolder folder = WithStream(2000);
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1, resetsAt: 9000);
        Outcome outcome = Executable.Run(folder.Path, ["send", "chip.stream", "--link", cable.Name, "--timeout", "2"]).Expect(4);
        Match told = Regex.Match(
            outcome.Errors, "^chip.stream: error PC2050: the receiver has started anew and knows nothing of the exposure; records 1 to (\\d+) are written(; of records \\d+ to (\\d+) nothing is known: .*|, and nothing after them; .*)\n$");
        Assert.True(told.Success, outcome.Errors);
        string[] dots = DotsOf(cable.Finish());
        int sure = int.Parse(told.Groups[1].Value, System.Globalization.CultureInfo.InvariantCulture);
        Assert.Equal(Dots(2000)[..dots.Length], dots);

        // The first record is a jump.
        Assert.InRange(dots.Length + 1, sure, told.Groups[3].Success ? int.Parse(told.Groups[3].Value, System.Globalization.CultureInfo.InvariantCulture) : sure);
    }

    private static JsonElement[] Lines(WorkFolder folder, string log) =>
        [.. File.ReadAllLines(Path.Combine(folder.Path, log)).Select(line => JsonDocument.Parse(line).RootElement)];

    private static WorkFolder WithStream(int dots)
    {
        var folder = new WorkFolder();
        string records = "jump 0 65535 9\n" + string.Concat(Dots(dots).Select(dot => dot + "\n"));
        long ticks = 9 + Enumerable.Range(0, dots).Sum(i => 3L + i % 7);
        File.WriteAllText(Path.Combine(folder.Path, "chip.records"), $"{Header}{records}end {dots + 1} {dots} {ticks}\n");
        Executable.Run(folder.Path, ["emit", "chip.records", "-o", "chip.stream", "-q"]).Expect(0);
        return folder;
    }

    private static string[] Dots(int count) => [.. Enumerable.Range(0, count).Select(i => $"dot {i} {65535 - i} {3 + i % 7}")];

    private static string[] DotsOf(string[] actions)
    {
        Assert.Equal("beam off", actions[^1]);
        return [.. actions.Where(action => action.StartsWith("dot ", StringComparison.Ordinal))];
    }

    [GeneratedRegex(@"^stopped after record \d+, the receiver confirms that the beam is off; send the rest with --from (\d+)\n$")]
    private static partial Regex Stopped();
}
