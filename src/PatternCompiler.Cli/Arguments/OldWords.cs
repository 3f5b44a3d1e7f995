using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Cli.Arguments;

/// <summary>Words of the version before, which work in this one, too: each is replaced before the line is parsed, and a note names the new one.</summary>
internal static class OldWords
{
    // What stands in front of a word, null for the beginning of the line; the word; what it is called now.
    private static readonly (string? Command, string? Before, string Old, string New)[] Renamed =
    [
        (null, null, "write", "export"),
        ("send", null, "--patience", "--timeout"),
        ("send", null, "--restarts", "--retries"),
        ("offset", "--join", "mitre", "mitred"),
        ("build", "--format", "rs274", "gcode"),
        ("emit", "--format", "rs274", "gcode"),
        ("decode", "--format", "rs274", "gcode"),
    ];

    /// <summary>The line in new words, and a note for each old one.</summary>
    public static (string[] Arguments, Diagnostic[] Notes) Replace(string[] arguments)
    {
        string[] replaced = [.. arguments];
        List<Diagnostic> notes = [];
        for (int i = 0; i < replaced.Length && replaced[i] != "--"; i++)
        {
            foreach ((string? command, string? before, string old, string now) in Renamed)
            {
                if ((command is null ? i == 0 : i > 0 && replaced[0] == command) && With(replaced, i, before, old, now) is { } word)
                {
                    notes.Add(new Diagnostic(CommandCodes.OldWord, Severity.Note, $"'{old}' is now '{now}'; the old word goes with the next version", default));
                    replaced[i] = word;
                }
            }
        }

        return (replaced, [.. notes]);
    }

    private static string? With(string[] words, int i, string? before, string old, string now) =>
        before is null
            ? words[i] == old ? now : words[i].StartsWith(old + "=", StringComparison.Ordinal) ? now + words[i][old.Length..] : null
            : words[i] == old && i > 0 && words[i - 1] == before ? now : words[i] == $"{before}={old}" ? $"{before}={now}" : null;
}
