using System.CommandLine;
using System.CommandLine.Invocation;
using PatternCompiler.Cli.Manual;

namespace PatternCompiler.Cli.Terminal;

/// <summary>Prints the help of the command that a line names.</summary>
internal sealed class HelpOnTerminal : SynchronousCommandLineAction
{
    /// <summary>Help wins over whatever else is wrong on the line.</summary>
    public override bool ClearsParseErrors => true;

    public override int Invoke(ParseResult parseResult)
    {
        parseResult.InvocationConfiguration.Output.Write(HelpText.Print(parseResult.CommandResult.Command));
        return ExitCode.Done;
    }
}
