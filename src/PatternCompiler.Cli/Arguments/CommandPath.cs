using System.CommandLine;

namespace PatternCompiler.Cli.Arguments;

/// <summary>A command as it is typed, from the program's name on.</summary>
internal static class CommandPath
{
    public const string Program = "patternc";

    public static string Of(Command command) => command.Parents.OfType<Command>().FirstOrDefault() is { } parent
        ? $"{Of(parent)} {command.Name}"
        : Program;
}
