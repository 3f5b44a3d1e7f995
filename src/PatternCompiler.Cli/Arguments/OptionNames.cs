using System.CommandLine;

namespace PatternCompiler.Cli.Arguments;

/// <summary>The options that a command takes, those of the root included.</summary>
internal static class OptionNames
{
    public static IEnumerable<string> Of(Command command) =>
        command.Options.Concat(command.Parents.OfType<Command>().SelectMany(parent => parent.Options).Where(option => option.Recursive))
            .Select(option => option.Name);
}
