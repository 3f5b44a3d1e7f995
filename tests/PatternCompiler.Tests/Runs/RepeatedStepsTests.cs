using System.Security.Cryptography;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Runs;
using PatternCompiler.Runs.Steps;
using PatternCompiler.Tests.Jobs;

namespace PatternCompiler.Tests.Runs;

/// <summary>A run in steps that is built again, each step with the current that was read for it: the same bytes, or what differs.</summary>
public sealed class RepeatedStepsTests
{
    private const string Drawing = "layout 1\nunit um\nlayer a\nlayer b\nrect on a from (0, 0) to (1, 2)\nrect on b from (3, 0) to (5, 1)\n";

    private static readonly BuildSettings Settings = RunCase.Settings("run: {hold: layers}");

    // The first step drifts, the second has another current than the machine file.
    private static readonly Beam[] Beams =
    [
        Settings.Machine.Beam with { CurrentAmperes = 104e-12, Later = new CurrentReading(60, 101e-12) },
        Settings.Machine.Beam with { CurrentAmperes = 97e-12 },
    ];

    private static readonly Lazy<RunStep[]> Steps = new(() => [.. CompiledRun.Of(Settings, Files(), new DiagnosticSink(), CancellationToken.None).Steps]);

    [Fact]
    public void Steps_come_out_again_byte_by_byte()
    {
        var written = new Dictionary<string, MemoryStream>();
        RepeatedSteps repeated = Repeat(Sent(), written);
        Assert.True(repeated.AreAllSame);
        Assert.Empty(repeated.Differences);
        string[] names = [.. Steps.Value.Select(step => step.Name)];
        Assert.Equal(2, names.Length);
        Assert.Equal(names, repeated.Same.Select(step => step.Name));
        Assert.Equal(names, written.Keys);
        Assert.All(names, (name, i) => Assert.Equal(Sent(i), written[name].ToArray()));
    }

    [Fact]
    public void A_step_of_other_bytes_is_told_with_both_hashes()
    {
        RunLogLine[] lines = Sent();
        lines[1] = lines[1] with { Sha256 = new string('0', 64) };
        RepeatedSteps repeated = Repeat(lines, []);
        Assert.False(repeated.AreAllSame);
        Assert.Equal(lines[0].Step, Assert.Single(repeated.Same).Name);
        Assert.Equal(($"steps[{lines[1].Step}].sha256", new string('0', 64), Hash(Sent(1))), Assert.Single(Told(repeated)));
    }

    [Fact]
    public void Steps_that_are_others_now_are_told_by_number_and_name()
    {
        RunLogLine[] lines = Sent();
        string[] names = [.. lines.Select(line => line.Step!)];
        RepeatedSteps exchanged = Repeat([lines[0] with { Step = names[1] }, lines[1] with { Step = names[0] }], []);
        Assert.Empty(exchanged.Same);
        Assert.Equal([("steps[1].name", names[1], names[0]), ("steps[2].name", names[0], names[1])], Told(exchanged));

        RepeatedSteps more = Repeat([.. lines.Select(line => line with { Steps = 3 }), lines[1] with { Step = "layer c", StepNumber = 3, Steps = 3 }], []);
        Assert.Equal(names, more.Same.Select(step => step.Name));
        Assert.Equal([("steps", "3", "2"), ("steps[3].name", "layer c", null)], Told(more));
        Assert.False(more.AreAllSame);
    }

    [Fact]
    public void The_log_tells_its_steps()
    {
        RunLogLine[] lines = Sent();
        RunLogLine answered = new(lines[0].Time, "r", 1, RunEvent.Answered) { Step = lines[1].Step, StepNumber = 2, Steps = 2, Answers = new(StringComparer.Ordinal) { ["current"] = "97 pA", ["stage"] = "yes" } };
        string details = RunText.Details(Logged([lines[0], new(lines[0].Time.AddMinutes(1), "r", 1, RunEvent.Written) { Step = lines[0].Step, StepNumber = 1, Steps = 2, Written = lines[0].Records }, answered]));
        Assert.Contains($"step 1 of 2", details, StringComparison.Ordinal);
        Assert.Contains($"{lines[0].Step}: {lines[0].Records} of {lines[0].Records} records, written\n", details, StringComparison.Ordinal);
        Assert.Contains($"{lines[1].Step}: not begun (current 97 pA, stage yes)\n", details, StringComparison.Ordinal);
    }

    private static RunLogLine[] Sent() =>
    [
        .. Steps.Value.Select((step, i) => new RunLogLine(new DateTime(2026, 3, 1, 20, i, 0, DateTimeKind.Utc), "r", 1, RunEvent.Started)
        {
            Step = step.Name, StepNumber = i + 1, Steps = 2, Sha256 = Hash(Sent(i)), Records = 10 + i, From = 1,
            CurrentAmperes = Beams[i].CurrentAmperes, LaterSeconds = Beams[i].Later?.Seconds, LaterAmperes = Beams[i].Later?.Amperes,
        }),
    ];

    private static byte[] Sent(int step)
    {
        using var bytes = new MemoryStream();
        StepCompiler.Write(Steps.Value[step], Beams[step], Settings, bytes, new DiagnosticSink(), CancellationToken.None);
        return bytes.ToArray();
    }

    private static (string Place, string? First, string? Second)[] Told(RepeatedSteps repeated) => [.. repeated.Differences.Select(item => (item.Place, item.First, item.Second))];

    private static RepeatedSteps Repeat(RunLogLine[] lines, Dictionary<string, MemoryStream> written) =>
        RunRepeat.BuildSteps(Logged(lines), Settings, Files(), name => written[name] = new MemoryStream(), new DiagnosticSink(), CancellationToken.None);

    private static LoggedRun Logged(RunLogLine[] lines) => LoggedRun.ReadAll(new MemoryStream([.. lines.SelectMany(line => line.ToBytes())]), "log").Single();

    private static MemoryFiles Files() => new MemoryFiles().With("a.layout", Drawing);

    private static string Hash(byte[] bytes) => Convert.ToHexStringLower(SHA256.HashData(bytes));
}
