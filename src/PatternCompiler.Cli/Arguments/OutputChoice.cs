using System.Collections.Immutable;
using System.CommandLine;
using PatternCompiler.Files;
using PatternCompiler.Jobs;

namespace PatternCompiler.Cli.Arguments;

/// <summary>What an output will hold: one content, or the one of several that the ending of its name chooses.</summary>
/// <param name="Contents">The contents; none if it is not known before the command runs.</param>
/// <param name="FormatOption">The option that would choose, too; or null.</param>
internal sealed record OutputChoice(ImmutableArray<FileContent> Contents, string? FormatOption = null)
{
    /// <summary>Known when the command runs, and checked then.</summary>
    public static OutputChoice Unknown { get; } = new([]);

    /// <summary>A content by its word.</summary>
    public static OutputChoice Of(string word) => new([FileContent.Of(word)]);

    /// <summary>One of several contents, by the ending of the name.</summary>
    public static OutputChoice ByName(params string[] words) => new([.. words.Select(FileContent.Of)]);

    /// <summary>The content that --format says or, without it, one of several by the ending of the name.</summary>
    public static OutputChoice ByFormat(ParseResult result, params string[] words) =>
        result.GetValue<string?>("--format") is { } given ? Of(given) : ByName(words) with { FormatOption = "--format" };

    /// <summary>JSON with --json, else a text.</summary>
    public static OutputChoice TextOrJson(ParseResult result) => result.GetValue<bool>("--json") ? Of("json") : new([FileContent.Text]);

    /// <summary>What is wrong with a name, and what to do; null if nothing is.</summary>
    public (string Problem, string Remedy)? FaultOf(string name)
    {
        if (Contents is [{ } only])
        {
            string usual = only.Endings is [{ } first, ..] ? $"end the name in {first}" : "end the name in .txt";
            return only.FaultOf(name) is { } fault ? (fault, FormatOption is null ? usual : $"{usual}, or say with {FormatOption} what to write") : null;
        }

        string ending = Path.GetExtension(name);
        if (Contents.IsEmpty || ending.Length == 0 || Contents.Any(content => content.Endings.Contains(ending, StringComparer.OrdinalIgnoreCase)))
        {
            return null;
        }

        string[] known = [.. Contents.Select(content => content.Endings[0])];
        string list = $"{string.Join(", ", known[..^1])} or {known[^1]}";
        return ($"nothing is written here under a name that ends in {ending}, such as '{name}'",
            $"end it in {list}{(FormatOption is null ? "" : $", or say with {FormatOption} what to write")}");
    }
}
