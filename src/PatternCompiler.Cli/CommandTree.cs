using System.CommandLine;
using System.CommandLine.Help;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Commands;
using PatternCompiler.Cli.Terminal;

namespace PatternCompiler.Cli;

/// <summary>The whole command line: the root with its global options and every subcommand.</summary>
internal static class CommandTree
{
    /// <summary>Declares it.</summary>
    public static RootCommand Create(GlobalOptions globals)
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
                help.Action = new HelpWithExamples((HelpAction)help.Action!);
            }
            else if (option is VersionOption version)
            {
                version.Action = new VersionAction();
            }
        }

        globals.AddTo(root);
        root.Add(BuildCommand.Create());
        root.Add(BatchCommand.Create());
        root.Add(ParseCommand.Create());
        root.Add(BooleanCommand.Create());
        root.Add(OffsetCommand.Create());
        root.Add(FractureCommand.Create());
        root.Add(CorrectCommand.Create());
        root.Add(FillCommand.Create());
        root.Add(ScaleCommand.Create());
        root.Add(EmitCommand.Create());
        root.Add(DecodeCommand.Create());
        root.Add(EstimateCommand.Create());
        root.Add(SimulateCommand.Create());
        root.Add(CompareCommand.Create());
        root.Add(SendCommand.Create());
        root.Add(PreviewCommand.Create());
        root.Add(WriteCommand.Create());
        root.Add(GenerateCommand.Create());
        root.Add(FitCommand.Create());
        root.Add(InitCommand.Create());
        root.Add(ExplainCommand.Create());
        root.Add(CompletionsCommand.Create());

        // Alone, the program tells what it can do.
        root.SetAction(result => result.RootCommandResult.Command.Parse(["--help"]).Invoke(result.InvocationConfiguration));
        return root;
    }
}
