using System.CommandLine;
using System.CommandLine.Help;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Commands;
using PatternCompiler.Cli.Terminal;

namespace PatternCompiler.Cli;

/// <summary>The whole command line: the root with its global options and every subcommand.</summary>
internal static class CommandTree
{
    // In the order in which help lists them.
    private static readonly (string Name, Func<Command> Create)[] Commands =
    [
        ("build", BuildCommand.Create),
        ("batch", BatchCommand.Create),
        ("parse", ParseCommand.Create),
        ("boolean", BooleanCommand.Create),
        ("offset", OffsetCommand.Create),
        ("fracture", FractureCommand.Create),
        ("correct", CorrectCommand.Create),
        ("split", SplitCommand.Create),
        ("fill", FillCommand.Create),
        ("scale", ScaleCommand.Create),
        ("emit", EmitCommand.Create),
        ("decode", DecodeCommand.Create),
        ("plan", PlanCommand.Create),
        ("estimate", EstimateCommand.Create),
        ("simulate", SimulateCommand.Create),
        ("compare", CompareCommand.Create),
        ("run", RunCommand.Create),
        ("send", SendCommand.Create),
        ("log", LogCommand.Create),
        ("repeat", RepeatCommand.Create),
        ("preview", PreviewCommand.Create),
        ("export", ExportCommand.Create),
        ("generate", GenerateCommand.Create),
        ("measure", MeasureCommand.Create),
        ("locate", LocateCommand.Create),
        ("fit", FitCommand.Create),
        ("init", InitCommand.Create),
        ("schema", SchemaCommand.Create),
        ("explain", ExplainCommand.Create),
        ("completions", CompletionsCommand.Create),
    ];

    /// <summary>Declares it.</summary>
    /// <param name="globals">Options of the root.</param>
    /// <param name="arguments">
    /// The command line that it is for: commands that it cannot mean are left out, because a start is mostly the time of
    /// declaring them. Null declares everything.
    /// </param>
    public static RootCommand Create(GlobalOptions globals, IReadOnlyList<string>? arguments = null)
    {
        var root = new RootCommand(
            "Compiles drawings into exposure streams for electron-beam pattern writers that drive a microscope's scan inputs.");
        foreach (Option option in root.Options.ToArray())
        {
            if (option is HelpOption help)
            {
                // "/h" and "/?" are legal file names.
                help.Aliases.Remove("/h");
                help.Aliases.Remove("/?");
                help.Aliases.Remove("-?");
                help.Action = new HelpOnTerminal();
            }
            else if (option is VersionOption version)
            {
                version.Action = new VersionAction();
            }
        }

        globals.AddTo(root);
        foreach ((_, Func<Command> create) in Commands.Where(command => IsNeeded(command.Name, arguments)))
        {
            root.Add(create());
        }

        if (root.Subcommands.Count > 1)
        {
            root.Add(HelpCommand.Create());
        }

        // Alone, the program tells what it can do.
        root.SetAction(result => result.RootCommandResult.Command.Parse(["--help"]).Invoke(result.InvocationConfiguration));
        return root;
    }

    /// <summary>True for the name of a command.</summary>
    public static bool IsCommand(string word) => Commands.Any(command => command.Name == word);

    // A line that begins with a command's name is about that command alone; any other may need them all.
    private static bool IsNeeded(string name, IReadOnlyList<string>? arguments) => arguments switch
    {
        ["--version"] => false,
        [{ } first, ..] when IsCommand(first) => name == first,
        _ => true,
    };
}
