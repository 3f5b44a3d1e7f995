using System.CommandLine;
using PatternCompiler.Checks;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Model;
using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc fill</c>: figures to strokes.</summary>
internal static class FillCommand
{
    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Figures.");
        Option<string> output = FileOption.CreateOutput("strokes", "Write the strokes to FILE.");
        Option<bool> binary = DocumentFormOption.Create();
        Option<string?> places = PlacesOption.Create();
        var settings = new SettingsOptions(
            SettingsNeed.All,
            SettingOverride.Strategy(),
            SettingOverride.LineDirection(),
            SettingOverride.LinePitch(),
            SettingOverride.PointStep(),
            SettingOverride.Travel(),
            SettingOverride.Dose(),
            SettingOverride.Current());
        var command = new PatternCommand("fill", "Fill figures with beam strokes that carry their dose.")
        {
            Details = "Pitch, step and strategy come from the job, the dose from the process; spacings in codes need the machine. Each figure gets exactly its charge, whatever the pitch.",
            Examples =
            [
                new("patternc fill chip.figures --job job.yaml -o chip.strokes", "with the settings of a job"),
                new("patternc fill chip.figures --job job.yaml --line-pitch automatic --point-step automatic > chip.strokes", "as finely as clock, deflection and link allow"),
                new("patternc fracture chip.layout | patternc fill --line-pitch \"6 codes\" --dose \"250 uC/cm2\" > chip.strokes", "in a pipe, with two values of its own"),
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
            FiguresDocument figures = stages.ReadFigures(new PipelineInput(DocumentKind.Figures, source, source.Name));
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output), isBinary);
            IDocumentSink<StrokesHeader, Stroke> writer = isBinary ? new StrokesBinaryWriter(file.Stream) : new StrokesTextWriter(file.Stream);
            FillReport report = stages.Fill(figures, writer).Fill;
            file.Commit();
            if (TravelText.Line(report) is string travel)
            {
                context.Messages.Say(travel);
            }

            return ExitCode.Done;
        });
    }
}
