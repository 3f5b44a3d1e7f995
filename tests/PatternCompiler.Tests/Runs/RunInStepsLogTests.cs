using System.Collections.Immutable;
using PatternCompiler.Runs;

namespace PatternCompiler.Tests.Runs;

/// <summary>What a log tells of a run that is written in steps.</summary>
public sealed class RunInStepsLogTests
{
    private static readonly DateTime Begin = new(2026, 3, 1, 20, 0, 0, DateTimeKind.Utc);

    [Fact]
    public void A_run_is_written_when_all_of_its_steps_are()
    {
        RunLogLine[] lines =
        [
            Line(RunEvent.Answered, 1) with { Answers = new(StringComparer.Ordinal) { ["a/stage"] = "yes" } },
            Line(RunEvent.Started, 1) with { Sha256 = "aa", Records = 10, From = 1, Pattern = "p" },
            Line(RunEvent.Progress, 1) with { Written = 4 },
            Line(RunEvent.Written, 1) with { Written = 10 },
            Line(RunEvent.Started, 2) with { Sha256 = "bb", Records = 7, From = 1, Pattern = "p" },
            Line(RunEvent.Stopped, 2) with { Written = 3 },
            Line(RunEvent.Started, 2) with { Sha256 = "bb", Records = 7, From = 4, Part = 2 },
            Line(RunEvent.Written, 2) with { Written = 7, Part = 2 },
        ];
        (RunOutcome Outcome, long Written)[] expected =
        [
            (RunOutcome.Open, 0), (RunOutcome.Open, 0), (RunOutcome.Open, 4), (RunOutcome.Open, 10), (RunOutcome.Open, 10), (RunOutcome.Stopped, 13), (RunOutcome.Open, 13), (RunOutcome.Written, 17),
        ];
        for (int i = 0; i < lines.Length; i++)
        {
            LoggedRun run = Assert.Single(Read(lines[..(i + 1)]));
            Assert.Equal(expected[i], (run.Outcome, run.Written));
            Assert.Equal(i == lines.Length - 1 ? 17L : null, run.Records);
        }

        LoggedRun whole = Read(lines).Single();
        Assert.Equal(("p", 2, "yes", "bb", RunOutcome.Written), (whole.Pattern, whole.StepCount, whole.Steps[1].Answers["a/stage"], whole.Steps[2].Sha256, whole.Steps[2].Outcome));
    }

    [Fact]
    public void What_is_in_the_resist_of_a_stream_follows_from_its_own_step()
    {
        RunLogLine[] lines =
        [
            Line(RunEvent.Started, 1) with { Sha256 = "aa", Records = 10, From = 1 },
            Line(RunEvent.Stopped, 1) with { Written = 4 },
            Line(RunEvent.Answered, 2),
            Line(RunEvent.Started, 2) with { Sha256 = "bb", Records = 70, From = 1 },
            Line(RunEvent.Written, 2) with { Written = 70 },
        ];
        RunHistory history = RunHistory.Read(Log(lines), "log", "aa");
        Assert.Equal((4L, false), (history.Written, history.IsComplete));
        Assert.True(RunHistory.Read(Log(lines), "log", "bb").IsComplete);
    }

    /// <summary>A resumed part in which nobody answers leaves a stopped step stopped, and one that was cut short with the message that tells why.</summary>
    [Fact]
    public void A_part_that_sent_nothing_changes_no_step_that_was_begun()
    {
        RunLogLine[] lines =
        [
            Line(RunEvent.Started, 1) with { Sha256 = "aa", Records = 10, From = 1 },
            Line(RunEvent.Stopped, 1) with { Written = 4 },
            Line(RunEvent.Failed, 1) with { Part = 2, Written = 0, Text = "nobody answers" },
        ];
        LoggedRun run = Read(lines).Single();
        Assert.Equal((RunOutcome.Stopped, 4L, null), (run.Steps[1].Outcome, run.Steps[1].Written, run.Steps[1].Fault));
        Assert.Equal(RunOutcome.Failed, run.Outcome);
        lines =
        [
            .. lines,
            Line(RunEvent.Started, 1) with { Part = 3, Sha256 = "aa", Records = 10, From = 5 },
            Line(RunEvent.Failed, 1) with { Part = 3, Written = 6, Text = "the link is gone" },
            Line(RunEvent.Failed, 1) with { Part = 4, Written = 0, Text = "nobody answers" },
        ];
        LoggedStep step = Read(lines).Single().Steps[1];
        Assert.Equal((RunOutcome.Failed, 6L, "the link is gone"), (step.Outcome, step.Written, step.Fault));

        // Before it has a stream the last message is the one that counts.
        Assert.Equal((RunOutcome.Failed, "nobody answers"), (Read([Line(RunEvent.Failed, 1) with { Text = "nobody answers" }]).Single().Steps[1] is var alone ? (alone.Outcome, alone.Fault) : default));
    }

    private static RunLogLine Line(RunEvent what, int step) => new(Begin.AddMinutes(step), "r", 1, what) { Step = step == 1 ? "a" : "b", StepNumber = step, Steps = 2 };

    private static MemoryStream Log(RunLogLine[] lines) => new([.. lines.SelectMany(line => line.ToBytes())]);

    private static ImmutableArray<LoggedRun> Read(RunLogLine[] lines) => LoggedRun.ReadAll(Log(lines), "log");
}
