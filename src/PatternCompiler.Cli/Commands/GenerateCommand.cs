using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Generate;
using PatternCompiler.Generate.Patterns;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc generate</c>: draws test patterns, each a subcommand with its parameters as options.</summary>
internal static class GenerateCommand
{
    public static Command Create()
    {
        PatternCommand command = new PatternCommand("generate", "Draw a test pattern as a layout.")
        {
            Details = "Each pattern is a subcommand whose --help says how to expose it, what to measure and which fit takes the numbers. Without one, the patterns are listed.",
            Examples =
            [
                new("patternc generate", "lists the patterns"),
                new("patternc generate zone-plate --zones 40 -o zones.layout", "draws one"),
                new("patternc generate dose-matrix | patternc build -o dose.stream", "draws one and compiles it with the built-in settings"),
                new("patternc generate bring-up bench --machine machine.yaml", "streams to bring a new writer up with, and their page"),
            ],
        }.Runs((_, context) => List(context));
        foreach (TestPattern pattern in TestPatterns.All)
        {
            command.Subcommands.Add(Create(pattern));
        }

        command.Subcommands.Add(ConverterReadingsCommand.Create());
        command.Subcommands.Add(BlankerReadingsCommand.Create());
        command.Subcommands.Add(BringUpCommand.Create());
        command.Subcommands.Add(LooksCommand.Create());
        return command;
    }

    private static PatternCommand Create(TestPattern pattern)
    {
        Option<string> output = FileOption.CreateOutput("layout", "Write the layout to FILE.");
        Option<string>? table = pattern.Columns is null
            ? null
            : FileOption.CreateWritten("--table", _ => new OutputChoice([FileContent.Table]), "Write the table to fill in: where each feature is, and empty cells for what is measured.");
        Option<string?>[] parameters = [.. pattern.Parameters.Select(CreateOption)];
        PatternParameter first = pattern.Parameters[0];
        var command = new PatternCommand(pattern.Name, Capitalised(pattern.Summary))
        {
            Details = $"Expose: {pattern.Guide.Expose}\nMeasure: {pattern.Guide.Measure}\nUse: {pattern.Guide.Use}",
            Examples =
            [
                new($"patternc generate {pattern.Name} -o {pattern.Name}.layout", "with every parameter at its default"),
                new($"patternc generate {pattern.Name} --{first.Name} \"{first.Default}\" | patternc preview -o {pattern.Name}.png", "shows it"),
            ],
        };
        foreach (Option<string?> parameter in parameters)
        {
            command.Options.Add(parameter);
        }

        command.Options.Add(output);
        if (table is not null)
        {
            command.Options.Add(table);
        }

        return command.Runs((result, context) =>
        {
            var settings = new List<KeyValuePair<string, string>>();
            foreach ((PatternParameter parameter, Option<string?> option) in pattern.Parameters.Zip(parameters))
            {
                if (result.GetValue(option) is { } text)
                {
                    settings.Add(new(parameter.Name, text));
                }
            }

            PatternDrawing drawing = pattern.Drawn(settings);
            return ReadingsTarget.Write(
                result.GetRequiredValue(output),
                table is null ? null : result.GetValue(table),
                layout =>
                {
                    LayoutWriter.Write(drawing.ToLayout(), layout);
                    return string.Concat(((string[])[pattern.Columns ?? "", .. drawing.Readings]).Select(row => row + "\n"));
                },
                context);
        });
    }

    private static Option<string?> CreateOption(PatternParameter parameter) => new("--" + parameter.Name)
    {
        Description = $"{Capitalised(parameter.Meaning)}; {parameter.Default} if absent.",
        HelpName = parameter.IsCount ? "N" : parameter.Dimension == Units.Dimension.Fraction ? "NUMBER" : "QUANTITY",
    };

    private static string Capitalised(string text) => char.ToUpperInvariant(text[0]) + text[1..];

    private static int List(CommandContext context)
    {
        using OutputFile output = context.Outputs.Create(OutputFiles.StandardName);
        using (var writer = new StreamWriter(output.Stream, leaveOpen: true))
        {
            (string Name, string Summary)[] all =
            [
                .. TestPatterns.All.Select(pattern => (pattern.Name, pattern.Summary)),
                (ConverterReadingsCommand.Name, ConverterReadingsCommand.Summary),
                (BlankerReadingsCommand.Name, BlankerReadingsCommand.Summary),
                (BringUpCommand.Name, BringUpCommand.Summary),
                (LooksCommand.Name, LooksCommand.Summary),
            ];
            int width = all.Max(pattern => pattern.Name.Length);
            foreach ((string name, string summary) in all)
            {
                writer.WriteLine($"{name.PadRight(width)}  {summary}");
            }
        }

        output.Commit();
        return ExitCode.Done;
    }
}
