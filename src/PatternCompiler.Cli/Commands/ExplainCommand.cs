using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc explain</c>: what a message number means, at length.</summary>
internal static class ExplainCommand
{
    private const int Width = 100;

    public static PatternCommand Create()
    {
        var code = new Argument<string?>("code")
        {
            Description = "Number of a message, such as PC0002 or 0002; all numbers are listed if it is absent.",
            HelpName = "CODE",
            Arity = ArgumentArity.ZeroOrOne,
        };
        code.Validators.Add(FileNameRule.Apply);
        code.CompletionSources.Add(_ => DiagnosticCatalogue.All.Select(entry => new System.CommandLine.Completions.CompletionItem(entry.Id)));
        return new PatternCommand("explain", "Explain the number of an error, a warning or a note.")
        {
            Details = "Every message carries a number that never changes its meaning. The explanation says why it is a fault, what it would do to the exposure and how to fix it.",
            Examples =
            [
                new("patternc explain PC0002", "explains one message"),
                new("patternc explain", "lists all messages"),
            ],
            Arguments = { code },
        }.Runs((result, context) => Run(result.GetValue(code), context));
    }

    private static int Run(string? id, CommandContext context)
    {
        using var output = context.Outputs.Create(Files.OutputFiles.StandardName);
        using (var writer = new StreamWriter(output.Stream, leaveOpen: true))
        {
            if (id is null)
            {
                foreach (DiagnosticCode code in DiagnosticCatalogue.All)
                {
                    writer.WriteLine($"{code.Id}  {SeverityOf(code),-7}  {code.Title}");
                }
            }
            else
            {
                Explain(writer, DiagnosticCatalogue.Find(id) ?? DiagnosticCatalogue.Find("PC" + id) ?? throw Unknown(id));
            }
        }

        output.Commit();
        return ExitCode.Done;
    }

    private static void Explain(TextWriter writer, DiagnosticCode code)
    {
        writer.WriteLine($"{code.Id}: {code.Title}");
        writer.WriteLine();
        foreach (string line in TextWrap.Lines(code.Explanation, Width))
        {
            writer.WriteLine(line);
        }

        writer.WriteLine();
        writer.WriteLine(code.Kind switch
        {
            DiagnosticKind.Remark => "It is a note: nothing is wrong.",
            DiagnosticKind.Doubt => "It is a warning: outputs are made.",
            DiagnosticKind.Loss => $"It is a warning; with --strict it ends the program with code {ExitCode.For(code.Kind)}.",
            _ => $"It is an error and ends the program with code {ExitCode.For(code.Kind)}.",
        });
    }

    private static string SeverityOf(DiagnosticCode code) => code.Kind switch
    {
        DiagnosticKind.Remark => "note",
        DiagnosticKind.Doubt or DiagnosticKind.Loss => "warning",
        _ => "error",
    };

    private static CompileException Unknown(string id) => new(
        CommandCodes.WrongUsage,
        $"no message has the number '{id}'",
        new SourcePlace("patternc explain"),
        NearestWord.Find(id, DiagnosticCatalogue.All.Select(code => code.Id)) is { } nearest
            ? $"did you mean {nearest}? 'patternc explain' lists all"
            : "'patternc explain' lists all");
}
