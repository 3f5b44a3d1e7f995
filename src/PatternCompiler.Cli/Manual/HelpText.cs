using System.CommandLine;
using System.Text;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Terminal;

namespace PatternCompiler.Cli.Manual;

/// <summary>
/// The short help of a command: one screen or two, examples first, options in groups with the first clause of their meaning. The
/// manual page says the rest.
/// </summary>
internal static class HelpText
{
    /// <summary>The command that shows the options of drawings; all others refer to it.</summary>
    private const string ExplainsDrawings = "parse";
    private const int Width = 80;
    private const int MostExamples = 2;
    private const int WidestTerm = 26;

    /// <summary>The help of a command, or of the whole program for the root; every line ended by a line feed.</summary>
    public static string Print(Command command)
    {
        var text = new StringBuilder();
        AppendLines(text, command.Description ?? "", 0);
        Head(text, "Usage");
        AppendLines(text, ManualWriter.Synopsis(command), 2);
        if (command is PatternCommand known)
        {
            Head(text, "Examples");
            foreach (CommandExample example in known.Examples.Take(MostExamples))
            {
                text.Append("  ").Append(example.Line).Append('\n');
                AppendLines(text, example.Meaning, 6);
            }
        }

        AppendTable(text, "Commands", command.Subcommands.Select(sub => (sub.Name, ManualWriter.Phrase(sub.Description ?? ""))));
        AppendTable(text, "Input", command.Arguments.Select(argument => (ManualWriter.NameOf(argument), ClauseOf(argument.Description ?? ""))));
        foreach (IGrouping<OptionGroup, Option> group in ManualWriter.OptionsOf(command).GroupBy(option => GroupOf(command, option)).OrderBy(group => group.Key))
        {
            string? shownBy = group.Key switch
            {
                OptionGroup.Drawing when command.Name != ExplainsDrawings => $"patternc {ExplainsDrawings} --help",
                OptionGroup.Everywhere when command is not RootCommand => "patternc --help",
                _ => null,
            };
            if (shownBy is not null)
            {
                Head(text, HeadOf(group.Key));
                AppendLines(text, $"{string.Join(", ", group.Select(option => option.Name))}: see '{shownBy}'", 2);
                continue;
            }

            AppendTable(text, HeadOf(group.Key), group.Select(option => (TermOf(option), MeaningOf(option))));
        }

        if (command is PatternCommand)
        {
            text.Append('\n').Append($"'patternc help {CommandPath.Of(command).Split(' ', 2)[1]}' says everything.\n");
        }
        else
        {
            AppendTable(text, "Exit codes", ExitCodeMeaning.Usual.Select(code => (code.Code.ToString(System.Globalization.CultureInfo.InvariantCulture), ClauseOf(code.Meaning))));
            text.Append("\n'patternc COMMAND --help' shows what a command takes, with examples.\n");
        }

        return text.ToString();
    }

    private static OptionGroup GroupOf(Command command, Option option) =>
        !command.Options.Contains(option) || command is RootCommand ? OptionGroup.Everywhere : (command as PatternCommand)?.GroupOf(option) ?? OptionGroup.Work;

    private static string HeadOf(OptionGroup group) => group switch
    {
        OptionGroup.Work => "Options",
        OptionGroup.Drawing => "Drawing",
        OptionGroup.Output => "Output",
        OptionGroup.Settings => "Settings",
        _ => "Every command",
    };

    private static void Head(StringBuilder text, string head) => text.Append(text.Length == 0 ? "" : "\n").Append(head).Append(":\n");

    private static void AppendTable(StringBuilder text, string head, IEnumerable<(string Term, string Meaning)> rows)
    {
        (string Term, string Meaning)[] all = [.. rows];
        if (all.Length == 0)
        {
            return;
        }

        Head(text, head);
        int termWidth = Math.Min(all.Max(row => row.Term.Length) + 4, WidestTerm);
        foreach ((string term, string meaning) in all)
        {
            string start = "  " + term;
            foreach (string line in TextWrap.Lines(meaning, Width - termWidth))
            {
                // A term that is too long has a line of its own.
                if (start.Length > termWidth - 2)
                {
                    text.Append(start).Append('\n');
                    start = "";
                }

                text.Append(start.PadRight(termWidth)).Append(line).Append('\n');
                start = "";
            }
        }
    }

    private static void AppendLines(StringBuilder text, string paragraph, int indent)
    {
        foreach (string line in TextWrap.Lines(paragraph, Width - indent))
        {
            text.Append(' ', indent).Append(line).Append('\n');
        }
    }

    private static string TermOf(Option option)
    {
        string term = ManualWriter.TermOf(option);
        return IsLongChoice(option, term) ? term[..^option.HelpName!.Length] + "WORD" : term;
    }

    private static string MeaningOf(Option option)
    {
        string meaning = ClauseOf(option.Description ?? "");
        string choices = IsLongChoice(option, ManualWriter.TermOf(option)) ? ": " + option.HelpName!.Replace("|", ", ", StringComparison.Ordinal) : "";
        return meaning + choices + (ManualWriter.DefaultOf(option) is { } value ? $" [{value}]" : "");
    }

    private static bool IsLongChoice(Option option, string term) => option.HelpName?.Contains('|', StringComparison.Ordinal) == true && term.Length > WidestTerm - 4;

    private static string ClauseOf(string description)
    {
        int end = description.AsSpan().IndexOfAny('.', ';', ':');
        while (end >= 0 && end + 1 < description.Length && description[end + 1] != ' ')
        {
            int next = description.AsSpan(end + 1).IndexOfAny('.', ';', ':');
            end = next < 0 ? -1 : end + 1 + next;
        }

        return end < 0 ? description : description[..end];
    }
}
