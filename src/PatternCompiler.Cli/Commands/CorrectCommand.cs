using System.CommandLine;
using PatternCompiler.Checks;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model;
using PatternCompiler.Passes.Proximity;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc correct</c>: doses corrected for scattered electrons.</summary>
internal static class CorrectCommand
{
    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Figures.");
        Option<string> output = FileOption.CreateOutput("figures", "Write the corrected figures to FILE.");
        Option<bool> binary = DocumentFormOption.Create();
        var target = ChoiceOption<ProximityTarget>.CreateOptional("--target", "Make the energy at edges equal, or the average over each figure.", Choices.CorrectionTarget);
        Option<double?> tolerance = NumberOption.CreateReal("--tolerance", "Relative error at which the iteration stops, such as 0.005.", 1e-6, 0.5);
        Option<long?> classes = NumberOption.CreateWhole("--dose-classes", "Number of different corrections; 0 for as many as come out.", 0, 100_000);
        Option<string?> places = PlacesOption.Create();
        var settings = new SettingsOptions(SettingsNeed.All, SettingOverride.Dose());
        var command = new PatternCommand("correct", "Correct doses of figures for scattered electrons.")
        {
            Details = "Gives each figure a dose factor so that the energy at its edges (or its average) is the same everywhere, whatever lies around it. Figures are cut where the background changes. The energy spread comes from the process, the spot from the machine, the rest from the job.",
            Examples =
            [
                new("patternc correct chip.figures --process process.yaml -o corrected.figures", "with the spread of a process"),
                new("patternc fracture chip.layout | patternc correct --target average | patternc fill > chip.strokes", "in a pipe"),
            ],
            Arguments = { input },
            Options = { output, binary, target, tolerance, classes, places },
        };
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context);
            CorrectionSettings wanted = chosen.Job.Correction ?? CorrectionSettings.Default;
            wanted = wanted with
            {
                Target = target.In(result, wanted.Target),
                Tolerance = result.GetValue(tolerance) ?? wanted.Tolerance,
                DoseClasses = (int)(result.GetValue(classes) ?? wanted.DoseClasses),
            };
            Pipeline stages = context.Stages(chosen with { Job = chosen.Job with { Correction = wanted } });
            bool isBinary = result.GetValue(binary);
            PlacesOption.Use(places, result, result.GetRequiredValue(input), stages, chosen.Job.Limits, context);
            using InputStream source = context.Open(result.GetRequiredValue(input));
            (FiguresDocument corrected, ProximityReport? report) = stages.Correct(stages.ReadFigures(new PipelineInput(DocumentKind.Figures, source, source.Name)));
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output), isBinary);
            IDocumentSink<FiguresHeader, Figure> writer = isBinary ? new FiguresBinaryWriter(file.Stream) : new FiguresTextWriter(file.Stream);
            stages.Check(corrected, writer);
            file.Commit();
            context.Messages.Say(CorrectionText.Line(report!));
            foreach (string line in CorrectionText.Histogram(report!))
            {
                context.Messages.Say(line);
            }

            return ExitCode.Done;
        });
    }
}
