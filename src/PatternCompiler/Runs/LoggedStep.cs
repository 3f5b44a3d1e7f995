using System.Collections.Immutable;

namespace PatternCompiler.Runs;

/// <summary>What a log tells of one step of a run.</summary>
/// <param name="Name">What it is called.</param>
internal sealed record LoggedStep(string Name)
{
    /// <summary>Name of its stream.</summary>
    public string? Stream { get; private init; }

    /// <summary>SHA-256 of its stream.</summary>
    public string? Sha256 { get; private init; }

    /// <summary>Records of its stream; 0 before it is made.</summary>
    public long Records { get; private init; }

    /// <summary>Records that are written, by the receiver's word.</summary>
    public long Written { get; private init; }

    /// <summary>How it stands; null where it was only asked for.</summary>
    public RunOutcome? Outcome { get; private init; }

    /// <summary>What was asked before it and answered.</summary>
    public ImmutableSortedDictionary<string, string> Answers { get; private init; } = ImmutableSortedDictionary.Create<string, string>(StringComparer.Ordinal);

    /// <summary>The same after one more line of the log.</summary>
    public LoggedStep With(RunLogLine line) => this with
    {
        Stream = line.Stream ?? Stream,
        Sha256 = line.Sha256 ?? Sha256,
        Records = line.Records ?? Records,
        Written = Math.Max(Written, line.Written ?? 0),
        Answers = line.Answers is null ? Answers : Answers.SetItems(line.Answers),
        Outcome = line.Event switch
        {
            RunEvent.Written => RunOutcome.Written,
            RunEvent.Stopped => RunOutcome.Stopped,
            RunEvent.Failed => RunOutcome.Failed,
            RunEvent.Started or RunEvent.Progress or RunEvent.Fault => RunOutcome.Open,
            _ => Outcome,
        },
    };
}
