using PatternCompiler.Diagnostics;

namespace PatternCompiler.Cli.Terminal;

/// <summary>Everything that is said to the person at the terminal. It goes to standard error, never into the data.</summary>
internal sealed class Messages
{
    private const string Red = "\u001b[1;31m";
    private const string Yellow = "\u001b[1;33m";
    private const string Cyan = "\u001b[1;36m";
    private const string Plain = "\u001b[0m";
    private const int LongestLine = 4000;

    private readonly TextWriter error;
    private readonly bool colour;
    private readonly ProgressDisplay progress;

    /// <summary>Speaks on <paramref name="error"/>.</summary>
    /// <param name="error">Usually standard error.</param>
    /// <param name="quiet">Notes and summaries are left out.</param>
    /// <param name="colour">Severities are coloured.</param>
    /// <param name="progress">The bars that a line must not run into.</param>
    public Messages(TextWriter error, bool quiet, bool colour, ProgressDisplay progress)
    {
        this.error = error;
        this.colour = colour;
        this.progress = progress;
        Quiet = quiet;
    }

    /// <summary>Notes, summaries and progress are left out; warnings and errors are not.</summary>
    public bool Quiet { get; }

    /// <summary>Prints a diagnostic, in place and at once.</summary>
    public void Report(Diagnostic diagnostic)
    {
        if (!Quiet || diagnostic.Severity != Severity.Note)
        {
            if (diagnostic.Severity == Severity.Error)
            {
                // Nothing goes on behind an error.
                progress.Clear();
            }

            Diagnostic named = diagnostic with { Place = diagnostic.Place.WithFiles(file => file == "-" ? "standard input" : file) };
            Write(colour ? Coloured(named) : named.ToString());
        }
    }

    /// <summary>Prints a line of a summary; what would act on a terminal is escaped.</summary>
    public void Say(string line)
    {
        if (!Quiet)
        {
            Write(PrintedText.Of(line, LongestLine));
        }
    }

    /// <summary>Prints a question of the program's own words, and stays on its line.</summary>
    public void Ask(string question)
    {
        progress.Clear();
        try
        {
            error.Write(question);
        }
        catch (Exception fault) when (fault is IOException or OutputClosedException)
        {
            // As for any other message.
        }
    }

    /// <summary>Prints the lines of a trace, even where nothing else is wanted.</summary>
    public void Trace(string lines)
    {
        foreach (string line in lines.Split('\n'))
        {
            Write(PrintedText.Of(line.TrimEnd('\r'), LongestLine));
        }
    }

    private static string Coloured(Diagnostic diagnostic)
    {
        (string word, string start) = diagnostic.Severity switch
        {
            Severity.Error => ("error", Red),
            Severity.Warning => ("warning", Yellow),
            _ => ("note", Cyan),
        };
        string label = $"{word} {diagnostic.Code.Id}:";
        string text = diagnostic.ToString();
        int at = text.IndexOf(label, StringComparison.Ordinal);
        return string.Concat(text.AsSpan(0, at), start, label) + Plain + text[(at + label.Length)..];
    }

    private void Write(string line)
    {
        try
        {
            if (!progress.TryWriteLine(line))
            {
                error.WriteLine(line);
            }
        }
        catch (Exception fault) when (fault is IOException or OutputClosedException)
        {
            // Nobody listens on standard error; the exit code still tells.
        }
    }
}
