using System.CommandLine;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Cli.Arguments;

/// <summary>One diagnostic for all that is wrong with a command line.</summary>
internal static class UsageError
{
    /// <summary>Builds it from what the parser found.</summary>
    public static Diagnostic From(ParseResult result)
    {
        Command command = result.CommandResult.Command;
        bool isRoot = command is RootCommand;
        string message = string.Join("; ", result.Errors.Select(error => Sentence(error.Message)).Distinct());
        string? nearest = isRoot && result.UnmatchedTokens.Count > 0
            ? NearestWord.Of(result.UnmatchedTokens[0], command.Subcommands.Select(sub => sub.Name))
            : result.UnmatchedTokens.FirstOrDefault(token => token.StartsWith('-')) is { } option
            ? NearestWord.Of(option, OptionNames(command))
            : null;
        string help = isRoot ? "see 'patternc --help'" : $"see 'patternc {command.Name} --help'";
        return new Diagnostic(
            CommandCodes.WrongUsage,
            Severity.Error,
            message,
            new SourcePlace(isRoot ? "patternc" : $"patternc {command.Name}"),
            nearest is null ? help : $"did you mean '{nearest}'? {help}");
    }

    private static IEnumerable<string> OptionNames(Command command)
    {
        foreach (Option option in command.Options)
        {
            yield return option.Name;
        }

        foreach (Command parent in command.Parents.OfType<Command>())
        {
            foreach (Option option in parent.Options.Where(candidate => candidate.Recursive))
            {
                yield return option.Name;
            }
        }
    }

    private static string Sentence(string message)
    {
        string text = message.TrimEnd('.').ReplaceLineEndings(" ");
        return text.Length > 1 && char.IsUpper(text[0]) && char.IsLower(text[1]) ? char.ToLowerInvariant(text[0]) + text[1..] : text;
    }
}
