using System.CommandLine;
using PatternCompiler.Checks;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc split</c>: figures to the figures of each write field.</summary>
internal static class SplitCommand
{
    private const int MostNames = 12;

    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Figures.");
        Option<string> output = FileOption.CreateWritten("--output", result => OutputChoice.Of(result.GetValue<string?>("--field") is null ? "yaml" : "figures"), "Write the manifest to FILE, and the figures of every field beside it into files named after it.");
        output.Aliases.Add("-o");
        var field = new Option<string?>("--field") { Description = "Write only the figures of this field, such as r01c02, to standard output or to --output.", HelpName = "NAME" };
        Option<bool> binary = DocumentFormOption.Create();
        Option<string?> places = PlacesOption.Create();
        var settings = new SettingsOptions(SettingsNeed.Machine);
        var command = new PatternCommand("split", "Divide figures into write fields.")
        {
            Details = "The job says how large a field is, what neighbours share, how seams are made and which marks each field gets; the stage is the machine's. A field's figures have its centre at the origin. The manifest lists the fields in the order of the stage's visits, with the stage's reading at each.",
            Examples =
            [
                new("patternc split chip.figures --job job.yaml -o fields/chip-fields.yaml", "the manifest, and fields/chip-r01c01.figures and so on"),
                new("patternc split chip.figures --job job.yaml --field r01c02 | patternc fill --job job.yaml > r01c02.strokes", "one field in a pipe"),
            ],
            Arguments = { input },
            Options = { output, field, binary, places },
        };
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context);
            string? path = result.GetValue(output);
            string? name = result.GetValue(field);
            if (name is null && path is null or OutputFiles.StandardName)
            {
                throw new CompileException(
                    CommandCodes.WrongUsage,
                    "the fields are several documents, which cannot all go to standard output",
                    new SourcePlace("patternc split"),
                    "name the manifest with -o FILE, or one field with --field NAME");
            }

            Pipeline stages = context.Stages(chosen);
            PlacesOption.Use(places, result, result.GetRequiredValue(input), stages, chosen.Job.Limits, context);
            using InputStream source = context.Open(result.GetRequiredValue(input));
            DividedPattern divided = stages.Split(stages.ReadFigures(new PipelineInput(DocumentKind.Figures, source, source.Name))) ?? throw new CompileException(
                JobCodes.MissingKey,
                $"the job '{chosen.Job.Name}' says nothing of write fields",
                fix: "add 'fields' to the job file and name it with --job; 'patternc build --print-defaults job' shows it");
            if (name is not null)
            {
                WriteOne(stages, divided, name, path ?? OutputFiles.StandardName, result.GetValue(binary), context);
                return ExitCode.Done;
            }

            using var files = new BuildFiles(context);
            foreach (BuiltFile file in FieldSplit.Run(chosen, divided, path!, result.GetValue(binary), files, context.Sink, context.Cancellation))
            {
                context.Messages.Say($"wrote {file.Path} ({file.Content})");
            }

            return ExitCode.Done;
        });
    }

    private static void WriteOne(Pipeline stages, DividedPattern divided, string name, string path, bool isBinary, CommandContext context)
    {
        int index = divided.Plan.Fields.ToList().FindIndex(field => field.Name == name);
        if (index < 0)
        {
            string known = string.Join(", ", divided.Plan.Fields.Take(MostNames).Select(field => field.Name));
            throw new CompileException(
                FieldCodes.UnknownField,
                $"there is no write field '{name}'",
                fix: $"there are {known}{(divided.Plan.Fields.Length > MostNames ? " and more" : "")}");
        }

        using OutputFile file = context.Outputs.Create(path, isBinary);
        IDocumentSink<FiguresHeader, Figure> writer = isBinary ? new FiguresBinaryWriter(file.Stream) : new FiguresTextWriter(file.Stream);
        stages.Check(divided.Figures[index], writer);
        file.Commit();
    }
}
