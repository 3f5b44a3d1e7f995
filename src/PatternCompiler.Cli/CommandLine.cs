using System.CommandLine;
using System.CommandLine.Invocation;
using System.Text;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Cli;

/// <summary>From the arguments to the exit code: parses, runs, and turns every failure into one message and one number.</summary>
internal static class CommandLine
{
    private static readonly UTF8Encoding Utf8 = new(encoderShouldEmitUTF8Identifier: false);

    // "@FILE" is replaced before the parser sees the line, by our own rules.
    private static readonly ParserConfiguration Parsing = new() { ResponseFileTokenReplacer = null };

    /// <summary>Runs one command line.</summary>
    public static int Run(string[] arguments)
    {
        using var error = new StreamWriter(DescriptorStream.OpenError(), Utf8) { AutoFlush = true };
        return Run(arguments, error);
    }

    /// <summary>Runs one command line and speaks on <paramref name="error"/>.</summary>
    public static int Run(string[] arguments, TextWriter error)
    {
        var globals = new GlobalOptions();
        Diagnostic? fault = null;
        try
        {
            arguments = ResponseFile.Expand(arguments);
        }
        catch (CompileException failure)
        {
            fault = failure.Diagnostic;
        }

        (arguments, Diagnostic[] renamed) = OldWords.Replace(arguments);
        ParseResult result = CommandTree.Create(globals, arguments).Parse(arguments, Parsing);
        using ProgressDisplay progress = globals.CreateProgress(result);
        Messages messages = globals.CreateMessages(result, error, progress);
        if (fault is not null)
        {
            messages.Report(fault);
            return ExitCode.For(fault.Code.Kind);
        }

        Array.ForEach(renamed, messages.Report);
        if (result.Action is ParseErrorAction)
        {
            // The parser's own report prints help and suggestions to standard output, where the next stage reads.
            messages.Report(UsageError.From(result));
            return ExitCode.UsageWrong;
        }

        var outputs = new OutputFiles();
        try
        {
            return result.CommandResult.Command is PatternCommand { Body: { } body } command && result.Action == command.Action
                ? RunBody(body, command.GraceForStop, result, globals.IsStrict(result), messages, progress, outputs)
                : RunBuiltIn(result);
        }
        catch (CompileException failure)
        {
            messages.Report(failure.Diagnostic);
            return ExitCode.For(failure.Diagnostic.Code.Kind);
        }
        catch (OutputClosedException)
        {
            return ExitCode.Done;
        }
        catch (OperationCanceledException)
        {
            return ExitCode.Interrupted;
        }
        catch (Exception trouble) when (EnvironmentFault.From(trouble) is { } told)
        {
            messages.Report(told);
            return ExitCode.For(told.Code.Kind);
        }
#pragma warning disable CA1031 // The last line of defence: whatever came through is a defect, told in one line.
        catch (Exception defect)
#pragma warning restore CA1031
        {
            messages.Report(DefectReport.From(defect));
            if (DefectReport.IsTraced)
            {
                messages.Trace(defect.ToString());
            }

            return ExitCode.Defect;
        }
        finally
        {
            outputs.DiscardAll();
        }
    }

    private static int RunBody(
        Func<ParseResult, CommandContext, int> body,
        TimeSpan graceForStop,
        ParseResult result,
        bool isStrict,
        Messages messages,
        ProgressDisplay progress,
        OutputFiles outputs)
    {
        MemoryLimit.Require();
        using var interruption = new Interruption(graceForStop, () =>
        {
            outputs.DiscardAll();
#pragma warning disable RS0030 // The command did not stop by itself: there is nobody left to return a code to.
            Environment.Exit(ExitCode.Interrupted);
#pragma warning restore RS0030
        });
        var context = new CommandContext(messages, progress, outputs, interruption.Token) { IsStrict = isStrict };
        outputs.Approve = context.RequireNothingLost;
        OutputGuard.Check(result);
        int code = body(result, context);
        if (interruption.Token.IsCancellationRequested)
        {
            return ExitCode.Interrupted;
        }

        context.RequireNothingLost();
        context.ReportPostponed();
        return code;
    }

    private static int RunBuiltIn(ParseResult result)
    {
        using var output = new StreamWriter(OutputFiles.OpenStandard(), Utf8, bufferSize: 1 << 14);
        int code = result.Invoke(new InvocationConfiguration
        {
            EnableDefaultExceptionHandler = false,
            Output = output,
            ProcessTerminationTimeout = null,
        });
        output.Flush();
        return code;
    }
}
