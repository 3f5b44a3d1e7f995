using System.CommandLine;
using System.Text;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;
using PatternCompiler.Diagnostics;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc estimate</c>: what an exposure will take, and whether the hardware can do it.</summary>
internal static class EstimateCommand
{
    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Stream, records, or any document before them.");
        Option<string> output = FileOption.CreateOutput(OutputChoice.TextOrJson, "Write the table to FILE.");
        var json = new Option<bool>("--json") { Description = "One JSON object instead of a table; names end in their unit and never change." };
        var strict = new Option<bool>("--strict") { Description = "Any warning is a violation: exit code 3." };
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(
            SettingsNeed.All,
            SettingOverride.Strategy(),
            SettingOverride.LinePitch(),
            SettingOverride.PointStep(),
            SettingOverride.Travel(),
            SettingOverride.Dose(),
            SettingOverride.Current());
        var command = new PatternCommand("estimate", "Estimate write time and check the exposure against the hardware.")
        {
            Details = "Write time is split into exposing, settling and waiting for the link. Steps on the sample are held against the spot size, dwells against the clock, the stream against the link. A document that is no stream or records yet is compiled first, with the same settings that the stages take; where the job asks for write fields, field by field, and the stage's moves count.",
            Examples =
            [
                new("patternc estimate chip.dxf --machine machine.yaml --process process.yaml", "before anything is compiled"),
                new("patternc estimate chip.stream --job job.yaml --json", "of a stream, for a script"),
            ],
            Arguments = { input },
            Options = { output, json, strict },
        };
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context);
            JumpFigures? figures = StrayScan.AlwaysExposes(chosen.Machine) ? new JumpFigures() : null;
            var estimator = new Estimator(chosen.Machine, chosen.Process, figures);
            var charge = new FigureCharge(chosen.Machine.Beam);
            (StrokesReport filled, StageEstimate? stage) = (StrokesReport.Empty, null);
            using (InputStream source = context.Open(result.GetRequiredValue(input)))
            {
                LayoutDocument ReadDrawing() => drawing.Read(source, chosen.Job, result, context);
                (filled, stage) = FieldedSource.TrySend(source, chosen, ReadDrawing, estimator, context, figures)
                    ?? (RecordsSource.Send(source, chosen, ReadDrawing, estimator, context, figures, charge), null);
            }

            ExposureEstimate estimate = estimator.ToEstimate() with
            {
                Fill = filled.Fill,
                StraysIfStraight = filled.IfStraight,
                Stage = stage,
                FigureCharge = charge.ToEstimate() is { Figures: > 0 } compared ? compared : null,
            };
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            if (result.GetValue(json))
            {
                EstimateJson.Write(estimate, file.Stream);
            }
            else
            {
                file.Stream.Write(Encoding.UTF8.GetBytes(EstimateText.Format(estimate)));
            }

            file.Commit();
            foreach (Diagnostic warning in estimate.Warnings)
            {
                context.Messages.Report(warning);
            }

            return result.GetValue(strict) && estimate.Warnings.Any(warning => warning.Severity == Severity.Warning) ? ExitCode.Violation : ExitCode.Done;
        });
    }
}
