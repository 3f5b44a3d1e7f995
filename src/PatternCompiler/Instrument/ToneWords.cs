namespace PatternCompiler.Instrument;

/// <summary>
/// What the doses of a resist and what they leave are called. A negative resist has words of its own: from the gel dose on something
/// stays, from the retention dose on the whole film (Thompson, Willson, Bowden, Introduction to Microlithography, 2nd ed., ACS 1994).
/// </summary>
/// <param name="Tone">The tone as a word.</param>
/// <param name="Opposite">The other tone.</param>
/// <param name="First">The dose at which the thickness starts to change, as a key of the process file; with "dose" behind it, in a text.</param>
/// <param name="Last">The dose from which it changes no more, likewise.</param>
/// <param name="Print">What the resist does where it prints: large areas clear, or stand.</param>
/// <param name="Printed">Column of a table that says whether it did.</param>
/// <param name="Complete">What it is from the last dose on.</param>
internal sealed record ToneWords(string Tone, string Opposite, string First, string Last, string Print, string Printed, string Complete)
{
    private static readonly ToneWords Positive = new("positive", "negative", "onset", "clearing", "clear", "cleared", "gone");
    private static readonly ToneWords Negative = new("negative", "positive", "gel", "retention", "stand", "stands", "whole");

    /// <summary>The words of a tone.</summary>
    public static ToneWords Of(ResistTone tone) => tone == ResistTone.Positive ? Positive : Negative;
}
