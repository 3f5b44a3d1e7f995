using System.CommandLine.Parsing;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Cli.Arguments;

/// <summary>
/// Keeps a mistyped option from being taken for a file name: the parser would hand "--bogus" to the first free argument
/// without a word.
/// </summary>
internal static class FileNameRule
{
    /// <summary>A validator for arguments and options that name files.</summary>
    public static void Apply(SymbolResult result)
    {
        foreach (Token token in result.Tokens)
        {
            if (token.Value.Length == 0)
            {
                result.AddError("a file name is empty; name a file, or - for a standard stream");
            }
            else if (token.Value.StartsWith('-') && token.Value != "-")
            {
                string? nearest = result.Parent is CommandResult command ? NearestWord.Find(token.Value, OptionNames.Of(command.Command)) : null;
                result.AddError($"unknown option '{token.Value}'; "
                    + (nearest is null ? $"for a file of that name write './{token.Value}'" : $"did you mean '{nearest}'?"));
            }
        }
    }
}
