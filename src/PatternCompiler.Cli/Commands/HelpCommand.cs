using System.CommandLine;
using System.Text;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Manual;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc help COMMAND</c>: the manual page of a command, as text or for <c>man</c>.</summary>
internal static class HelpCommand
{
    /// <summary>Its name; not in the list of commands, because it may be about any of them.</summary>
    public const string Name = "help";

    public static PatternCommand Create()
    {
        var words = new Argument<string[]>("command")
        {
            Description = "The command, or the command and its subcommand; the whole program if absent.",
            HelpName = "COMMAND",
            Arity = ArgumentArity.ZeroOrMore,
        };
        words.Validators.Add(FileNameRule.Apply);
        var man = new Option<bool>("--man") { Description = "Print the page in the form that man shows." };
        Option<string?> pages = FileOption.Create("--man-pages", "Write the pages of all commands into FOLDER, for man.", "FOLDER");
        return new PatternCommand(Name, "Show the manual page of a command.")
        {
            Details = "A page says everything about a command: what it does and takes, examples, exit codes, files and related commands. 'patternc COMMAND --help' is the short form.",
            Examples =
            [
                new("patternc help fill", "everything about one command"),
                new("patternc help generate zone-plate", "how to expose and measure a test pattern"),
                new("patternc help --man build | man -l -", "the page as man shows it"),
                new("patternc help --man-pages ~/.local/share/man/man1", "from then on, 'man patternc-build' works"),
            ],
            Arguments = { words },
            Options = { man, pages },
        }.Runs((result, context) =>
        {
            var root = CommandTree.Create(new GlobalOptions());
            if (result.GetValue(pages) is { } folder)
            {
                return WriteAll(root, folder, context);
            }

            ManualPage page = ManualWriter.Write(Find(root, result.GetRequiredValue(words)));
            using OutputFile output = context.Outputs.Create(OutputFiles.StandardName);
            output.Stream.Write(Encoding.UTF8.GetBytes(result.GetValue(man) ? ManualRoff.Print(page) : ManualText.Print(page)));
            output.Commit();
            return ExitCode.Done;
        });
    }

    private static Command Find(Command root, string[] words)
    {
        Command command = root;
        foreach (string word in words)
        {
            command = command.Subcommands.FirstOrDefault(sub => sub.Name == word) ?? throw Unknown(command, word);
        }

        return command;
    }

    private static CompileException Unknown(Command command, string word)
    {
        string path = CommandPath.Of(command);
        string? nearest = NearestWord.Find(word, command.Subcommands.Select(sub => sub.Name));
        string help = $"see '{path} --help'";
        return new CompileException(
            CommandCodes.WrongUsage,
            $"unknown command '{word}'",
            new SourcePlace(path),
            nearest is null ? help : $"did you mean '{nearest}'? {help}");
    }

    private static int WriteAll(Command root, string folder, CommandContext context)
    {
        int count = 0;
        using var files = new BuildFiles(context);
        foreach (Command command in Descend(root))
        {
            ManualPage page = ManualWriter.Write(command);
            using var file = files.Create(Path.Combine(folder, page.FileName), isBinary: false);
            file.Stream.Write(Encoding.UTF8.GetBytes(ManualRoff.Print(page)));
            file.Commit();
            count++;
        }

        context.Messages.Say($"{count} pages in {folder}");
        return ExitCode.Done;
    }

    private static IEnumerable<Command> Descend(Command command) => command.Subcommands.SelectMany(Descend).Prepend(command);
}
