using System.CommandLine;
using PatternCompiler.Cli.Arguments;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc help COMMAND</c>: the same as <c>patternc COMMAND --help</c>, for those who type it this way round.</summary>
internal static class HelpCommand
{
    /// <summary>Its name; not in the list of commands, because it may be about any of them.</summary>
    public const string Name = "help";

    public static PatternCommand Create()
    {
        var words = new Argument<string[]>("command")
        {
            Description = "The command, or the command and its subcommand; all commands if absent.",
            HelpName = "COMMAND",
            Arity = ArgumentArity.ZeroOrMore,
        };
        words.Validators.Add(FileNameRule.Apply);
        return new PatternCommand(Name, "Show what a command does and takes, with examples.")
        {
            Details = "'patternc COMMAND --help' shows the same.",
            Examples =
            [
                new("patternc help fill", "everything about one command"),
                new("patternc help generate zone-plate", "how to expose and measure a test pattern"),
            ],
            Arguments = { words },
        }.Runs((result, _) =>
        {
            // An unknown word gets the message that it gets as a command.
            string[] asked = result.GetRequiredValue(words);
            return CommandLine.Run(asked is [{ } first, ..] && !CommandTree.IsCommand(first) ? [first] : [.. asked, "--help"]);
        });
    }
}
