using System.CommandLine;
using System.CommandLine.Parsing;
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
        string[] problems =
        [
            .. result.UnmatchedTokens.Select(token => Unmatched(command, token)),
            .. result.Errors.Where(error => !IsAboutUnmatched(error, result)).Select(error => Sentence(error.Message)),
        ];
        string? nearest = result.UnmatchedTokens.Count == 0 ? null : NearestWord.Find(result.UnmatchedTokens[0], KnownWords(command, result.UnmatchedTokens[0]));
        string path = CommandPath.Of(command);
        string help = $"see '{path} --help'";
        return new Diagnostic(
            CommandCodes.WrongUsage,
            Severity.Error,
            string.Join("; ", problems.Distinct()),
            new SourcePlace(path),
            nearest is null ? help : $"did you mean '{nearest}'? {help}");
    }

    private static string Unmatched(Command command, string token) =>
        token.StartsWith('-') ? $"unknown option '{token}'"
        : command.Subcommands.Count > 0 ? $"unknown command '{token}'"
        : $"unexpected argument '{token}'";

    // The parser reports each unmatched word in its own way, too.
    private static bool IsAboutUnmatched(ParseError error, ParseResult result) =>
        result.UnmatchedTokens.Any(token => error.Message.Contains($"'{token}'", StringComparison.Ordinal)) && error.SymbolResult is CommandResult;

    private static IEnumerable<string> KnownWords(Command command, string word) =>
        word.StartsWith('-') ? OptionNames.Of(command) : command.Subcommands.Select(sub => sub.Name);

    private static string Sentence(string message)
    {
        string text = message.TrimEnd('.').ReplaceLineEndings(" ");
        return text.Length > 1 && char.IsUpper(text[0]) && char.IsLower(text[1]) ? char.ToLowerInvariant(text[0]) + text[1..] : text;
    }
}
