using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;

namespace PatternCompiler.Cli.Terminal;

/// <summary>Prints the parser's own help, then what it has no place for: details, examples, exit codes.</summary>
internal sealed class HelpWithExamples(HelpAction inner) : SynchronousCommandLineAction
{
    private const int Width = 100;

    /// <summary>Help wins over whatever else is wrong on the line.</summary>
    public override bool ClearsParseErrors => true;

    public override int Invoke(ParseResult parseResult)
    {
        inner.MaxWidth = Width;
        inner.Invoke(parseResult);
        TextWriter output = parseResult.InvocationConfiguration.Output;
        if (parseResult.CommandResult.Command is PatternCommand command)
        {
            WriteDetails(output, command);
        }
        else
        {
            WriteExitCodes(output);
        }

        return ExitCode.Done;
    }

    private static void WriteDetails(TextWriter output, PatternCommand command)
    {
        output.WriteLine("Details:");
        foreach (string paragraph in command.Details.Split('\n'))
        {
            foreach (string line in TextWrap.Lines(paragraph, Width - 2))
            {
                output.WriteLine(line.Length == 0 ? "" : "  " + line);
            }
        }

        output.WriteLine();
        output.WriteLine("Examples:");
        foreach (CommandExample example in command.Examples)
        {
            output.WriteLine("  " + example.Line);
            output.WriteLine("      " + example.Meaning);
        }
    }

    private static void WriteExitCodes(TextWriter output)
    {
        output.WriteLine("Exit codes:");
        output.WriteLine("  0  done                          4    a file or stream cannot be read or written");
        output.WriteLine("  1  the input is wrong            70   a defect of this program");
        output.WriteLine("  2  the command line is wrong     130  interrupted");
        output.WriteLine("  3  a check found a violation");
        output.WriteLine();
        output.WriteLine("'patternc COMMAND --help' shows what a command takes, with examples.");
    }
}
