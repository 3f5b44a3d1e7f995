using System.Collections.Immutable;
using PatternCompiler.Instrument;

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

    /// <summary>Current that its dwells are made for, at its beginning; null where the log does not tell.</summary>
    public double? CurrentAmperes { get; private init; }

    /// <summary>How that current was expected to go on; null where it was not, or where the log does not tell.</summary>
    public CurrentReading? Later { get; private init; }

    /// <summary>The message with which it ended early, which tells what is in the resist; null where there is none.</summary>
    public string? Fault { get; private init; }

    /// <summary>How it stands; null where it was only asked for.</summary>
    public RunOutcome? Outcome { get; private init; }

    /// <summary>What was asked before it and answered.</summary>
    public ImmutableSortedDictionary<string, string> Answers { get; private init; } = ImmutableSortedDictionary.Create<string, string>(StringComparer.Ordinal);

    /// <summary>The part that began to send its stream last.</summary>
    private int SendingPart { get; init; }

    /// <summary>The same after one more line of the log.</summary>
    public LoggedStep With(RunLogLine line)
    {
        // A part that ended before it sent anything, because nobody answered, leaves the stream as it stood.
        bool isOfStream = line.Event != RunEvent.Failed || Sha256 is null || line.Part == SendingPart;
        return this with
        {
            Stream = line.Stream ?? Stream,
            Sha256 = line.Sha256 ?? Sha256,
            Records = line.Records ?? Records,
            Written = Math.Max(Written, line.Written ?? 0),
            CurrentAmperes = line.CurrentAmperes ?? CurrentAmperes,
            Later = line.CurrentAmperes is null ? Later : line is { LaterSeconds: { } seconds, LaterAmperes: { } amperes } ? new CurrentReading(seconds, amperes) : null,
            Answers = line.Answers is null ? Answers : Answers.SetItems(line.Answers),
            SendingPart = line.Event == RunEvent.Started ? line.Part : SendingPart,
            Fault = line.Event == RunEvent.Started ? null : line.Event == RunEvent.Failed && isOfStream ? line.Text : Fault,
            Outcome = line.Event switch
            {
                RunEvent.Written => RunOutcome.Written,
                RunEvent.Stopped => RunOutcome.Stopped,
                RunEvent.Failed when isOfStream => RunOutcome.Failed,
                RunEvent.Started or RunEvent.Progress or RunEvent.Fault => RunOutcome.Open,
                _ => Outcome,
            },
        };
    }
}
