using System.Text;

namespace PatternCompiler.Diagnostics;

/// <summary>One message to the user: where, what was found and expected, and what to do about it.</summary>
/// <param name="Code">The catalogue entry.</param>
/// <param name="Severity">Note, warning or error.</param>
/// <param name="Message">What is wrong here, with the figures of this very case; no full stop at the end.</param>
/// <param name="Place">Where in the input.</param>
/// <param name="Fix">What to do, one phrase, or null.</param>
/// <param name="SourceLine">The text of the line at fault for a caret line, or null.</param>
public sealed record Diagnostic(
    DiagnosticCode Code,
    Severity Severity,
    string Message,
    SourcePlace Place = default,
    string? Fix = null,
    string? SourceLine = null)
{
    private const int LongestQuotedLine = 100;
    private const int LongestPart = 600;

    /// <summary>How many things of the input the message counts; 0 if it counts nothing.</summary>
    public long Count { get; init; }

    /// <summary>Which measurement of a table the message concerns, from 0; null if it concerns none or several.</summary>
    public int? Measurement { get; init; }

    /// <summary>
    /// The one printed form: <c>place: error PC0201: message; fix</c>, and, where the source line is known,
    /// that line and a caret under the column; then, a line each, what else was drawn at the place. Everything goes through <see cref="PrintedText"/>: names from files are not
    /// to be trusted, and one that is far too long is cut.
    /// </summary>
    public override string ToString()
    {
        var text = new StringBuilder();
        string place = Place.ToString();
        if (place.Length > 0)
        {
            text.Append(place).Append(": ");
        }

        text.Append(Severity switch { Severity.Error => "error", Severity.Warning => "warning", _ => "note" })
            .Append(' ').Append(Code.Id).Append(": ").Append(PrintedText.Of(Message, LongestPart));
        if (Fix is not null)
        {
            text.Append("; ").Append(PrintedText.Of(Fix, LongestPart));
        }

        if (SourceLine is not null && Place.Column > 0)
        {
            AppendCaret(text);
        }

        if (Place.Item is { Also.Count: > 0 } item)
        {
            foreach (SourcePlace other in item.Also)
            {
                text.Append("\n    also drawn by ").Append(other);
            }

            if (item.More > 0)
            {
                text.Append("\n    and ").Append(item.More).Append(" more");
            }
        }

        return text.ToString();
    }

    private void AppendCaret(StringBuilder text)
    {
        // A long line is cut around the column, so that the caret stays in view.
        int column = Math.Min(Place.Column - 1, SourceLine!.Length);
        int start = Math.Max(0, column - LongestQuotedLine / 2);
        int length = Math.Min(LongestQuotedLine, SourceLine.Length - start);
        string quoted = SourceLine.Substring(start, length).Replace('\t', ' ');
        string before = PrintedText.Of(quoted[..(column - start)]);
        text.Append("\n    ").Append(before).Append(PrintedText.Of(quoted[(column - start)..])).Append("\n    ").Append(' ', before.Length).Append('^');
    }
}

/// <summary>How much a diagnostic weighs.</summary>
public enum Severity
{
    /// <summary>Worth knowing (what was ignored, what was chosen); nothing is wrong.</summary>
    Note,

    /// <summary>The output is made, but it may not be what the user wants.</summary>
    Warning,

    /// <summary>No output is made.</summary>
    Error,
}
