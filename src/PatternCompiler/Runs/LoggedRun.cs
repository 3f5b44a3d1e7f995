using System.Collections.Immutable;
using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Units;

namespace PatternCompiler.Runs;

/// <summary>What a log tells of one run, all its parts together.</summary>
/// <param name="First">The line with which it began.</param>
internal sealed record LoggedRun(RunLogLine First)
{
    /// <summary>Words of how a run stands.</summary>
    public static readonly Choice<RunOutcome> Outcomes = new(
        ("written", RunOutcome.Written), ("stopped", RunOutcome.Stopped), ("failed", RunOutcome.Failed), ("open", RunOutcome.Open));

    /// <summary>Its last line that is no note.</summary>
    public RunLogLine Last { get; private init; } = First;

    /// <summary>How often it was begun or resumed.</summary>
    public int Parts { get; private init; }

    /// <summary>Records that are written, by the receivers' word; those of all steps.</summary>
    public long Written => Steps.IsEmpty ? WrittenAtOnce : Steps.Values.Sum(step => step.Written);

    /// <summary>Records of the stream; null for one from a pipe, and for a run in steps, whose later streams are not made yet.</summary>
    public long? Records => Steps.IsEmpty ? First.Records : IsComplete ? Steps.Values.Sum(step => step.Records) : null;

    /// <summary>Steps that were begun, by their numbers; empty for a stream that was sent at once.</summary>
    public ImmutableSortedDictionary<int, LoggedStep> Steps { get; private init; } = ImmutableSortedDictionary<int, LoggedStep>.Empty;

    /// <summary>Hash of the pattern of a run in steps.</summary>
    public string? Pattern { get; private init; }

    /// <summary>Steps that the run has altogether.</summary>
    public int StepCount { get; private init; }

    /// <summary>Faults of the link behind which it went on.</summary>
    public int Faults { get; private init; }

    /// <summary>The operator's notes; a later one takes the place of an earlier one of the same name.</summary>
    public ImmutableSortedDictionary<string, string> Notes { get; private init; } = ImmutableSortedDictionary.Create<string, string>(StringComparer.Ordinal);

    /// <summary>The provenance of the stream, from whichever part stated one last.</summary>
    public JsonElement? Provenance { get; private init; }

    /// <summary>The job that made the stream, from the log's folder.</summary>
    public string? Job { get; private init; }

    private long WrittenAtOnce { get; init; } = (First.From ?? 1) - 1;

    private bool IsComplete => Steps.Count == StepCount && Steps.Values.All(step => step.Outcome == RunOutcome.Written);

    /// <summary>How it stands.</summary>
    public RunOutcome Outcome => Last.Event switch
    {
        RunEvent.Written when !Steps.IsEmpty && !IsComplete => RunOutcome.Open,
        RunEvent.Written => RunOutcome.Written,
        RunEvent.Stopped => RunOutcome.Stopped,
        RunEvent.Failed => RunOutcome.Failed,
        _ => RunOutcome.Open,
    };

    /// <summary>All runs of a log in the order in which they began.</summary>
    /// <param name="log">The log; stays open.</param>
    /// <param name="name">Its name for messages.</param>
    /// <exception cref="CompileException">It is no log of runs.</exception>
    public static ImmutableArray<LoggedRun> ReadAll(Stream log, string name)
    {
        var order = new List<string>();
        Dictionary<string, LoggedRun> runs = new(StringComparer.Ordinal);
        foreach (RunLogLine line in RunLogReader.Read(log, name, out _))
        {
            if (!runs.TryGetValue(line.Run, out LoggedRun? run))
            {
                order.Add(line.Run);
                run = new LoggedRun(line);
            }

            runs[line.Run] = run.With(line);
        }

        return [.. order.Select(run => runs[run])];
    }

    private LoggedRun With(RunLogLine line) => this with
    {
        Last = line.Event == RunEvent.Noted ? Last : line,
        Steps = line is { Step: { } name, StepNumber: { } number } ? Steps.SetItem(number, (Steps.GetValueOrDefault(number) ?? new LoggedStep(name)).With(line)) : Steps,
        StepCount = line.Steps ?? StepCount,
        Pattern = Pattern ?? line.Pattern,
        Parts = Math.Max(Parts, line.Part),
        WrittenAtOnce = Math.Max(WrittenAtOnce, line.Written ?? 0),
        Faults = Faults + (line.Event == RunEvent.Fault ? 1 : 0),
        Notes = line.Notes is null ? Notes : Notes.SetItems(line.Notes),
        Provenance = line.Provenance ?? Provenance,
        Job = line.Job ?? Job,
    };
}

/// <summary>How a run stands.</summary>
internal enum RunOutcome
{
    /// <summary>Every record is written.</summary>
    Written,

    /// <summary>Stopped by the user, the beam off by the receiver's word.</summary>
    Stopped,

    /// <summary>It ended early.</summary>
    Failed,

    /// <summary>Nothing tells how it ended: it goes on, or the program was killed.</summary>
    Open,
}
