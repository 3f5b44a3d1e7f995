using System.Globalization;

namespace PatternCompiler.Send;

/// <summary>
/// What a run has left in the resist, as far as that is known, and how to go on: the sentences that end every run that did not
/// write everything.
/// </summary>
/// <param name="First">Number of the first record of this run, counted from 0.</param>
/// <param name="Written">Records of the stream up to here are written completely, by the receiver's word.</param>
/// <param name="Sent">Records of the stream up to here may be written; equal to <paramref name="Written"/> where the receiver's last word is known.</param>
/// <param name="CutRecord">What the record behind those written is, if it has a part of its dose; else null.</param>
/// <param name="FigureNow">Figure that the record behind those written belongs to, if known.</param>
/// <param name="FigureLast">Figure of the last record sent, if known.</param>
/// <param name="Total">Records of the stream, 0 if unknown.</param>
internal sealed record ResistState(
    long First, long Written, long Sent, string? CutRecord, long? FigureNow, long? FigureLast, long Total)
{
    /// <summary>What is in the resist.</summary>
    public string Contents => this switch
    {
        { CutRecord: not null } => Text($"{Complete}, record {Written + 1} ({CutRecord}{OfFigure}) was cut short and has a part of its dose, nothing after it is written"),
        { IsKnown: false, HasWritten: true } => $"{Complete}; {Unknown}",
        { IsKnown: false } => Unknown,
        { IsComplete: true } => "every record is written",
        { HasWritten: true } => $"{Complete}, and nothing after them",
        _ => Complete,
    };

    /// <summary>Which command goes on safely.</summary>
    public string Remedy => this switch
    {
        { CutRecord: not null } => Text($"look at the sample, then send from record {Written + 1} to repeat it, or from record {Written + 2} to skip it"),
        { IsKnown: false } => "no command goes on safely: look at the sample, and send from the first record that is missing there",
        { IsComplete: true } => "nothing is left to send",
        { Written: 0 } => "fix the cause, then send it again",
        _ => Text($"fix the cause, then send from record {Written + 1}"),
    };

    private bool HasWritten => Written > First;

    private bool IsKnown => Sent <= Written;

    private bool IsComplete => Written == Total && Total > 0;

    private string Complete => HasWritten ? Text($"records {First + 1} to {Written} are written") : "nothing is written by this run";

    private string Unknown => Text($"of records {Written + 1} to {Sent}{InFigures} nothing is known: they may be written, in part or not at all");

    private string OfFigure => FigureNow is null ? "" : Text($" of figure {FigureNow}");

    private string InFigures => (FigureNow, FigureLast) switch
    {
        (null, _) => "",
        ({ } now, { } then) when now != then => Text($" (figures {now} to {then})"),
        ({ } now, _) => Text($" (figure {now})"),
    };

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
