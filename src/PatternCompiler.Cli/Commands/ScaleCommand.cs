using System.CommandLine;
using PatternCompiler.Checks;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Model;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc scale</c>: strokes to deflection records.</summary>
internal static class ScaleCommand
{
    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Strokes.");
        Option<string> output = FileOption.CreateOutput("records", "Write the records to FILE.");
        Option<bool> binary = DocumentFormOption.Create();
        Option<string?> places = PlacesOption.Create();
        var settings = new SettingsOptions(SettingsNeed.Machine, SettingOverride.Current());
        var command = new PatternCommand("scale", "Scale strokes to converter codes and clock ticks.")
        {
            Details = "Positions become codes by the machine's field and calibration, charges become dwell by its beam current and clock, with the remainder carried along each figure; jumps get their settling time. A position outside the field is an error that names the figure.",
            Examples =
            [
                new("patternc scale chip.strokes --machine machine.yaml -o chip.records", "for a machine"),
                new("patternc fill chip.figures | patternc scale --current \"48 pA\" | patternc emit -o chip.stream", "in a pipe, with the current read today"),
            ],
            Arguments = { input },
            Options = { output, binary, places },
        };
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context);
            bool isBinary = result.GetValue(binary);
            Pipeline stages = context.Stages(chosen);
            PlacesOption.Use(places, result, result.GetRequiredValue(input), stages, chosen.Job.Limits, context);
            using InputStream source = context.Open(result.GetRequiredValue(input));
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output), isBinary);
            IDocumentSink<RecordsHeader, DeflectionRecord> writer = isBinary ? new RecordsBinaryWriter(file.Stream) : new RecordsTextWriter(file.Stream);
            stages.Scale(new PipelineInput(DocumentKind.Strokes, source, source.Name), writer);
            file.Commit();
            return ExitCode.Done;
        });
    }
}
