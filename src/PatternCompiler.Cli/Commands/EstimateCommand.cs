using System.CommandLine;
using System.Text;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc estimate</c>: what an exposure will take, and whether the hardware can do it.</summary>
internal static class EstimateCommand
{
    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Job file, drawing, any document after them, or a manifest of write fields.");
        Option<string> output = FileOption.CreateOutput(OutputChoice.TextOrJson, "Write the table to FILE.");
        var json = new Option<bool>("--json") { Description = "One JSON object instead of a table; names end in their unit and never change." };
        Option<string?> places = PlacesOption.Create();
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(
            SettingsNeed.All,
            SettingOverride.Strategy(),
            SettingOverride.LinePitch(),
            SettingOverride.PointStep(),
            SettingOverride.Travel(),
            SettingOverride.Dose(),
            SettingOverride.Current()) { Judges = true };
        var command = new PatternCommand("estimate", "Estimate write time and check the exposure against the hardware.")
        {
            Details = "Write time is split into exposing, settling and waiting for the link. Steps on the sample are compared with the spot size, dwells against the clock, the stream against the link. A document that is no stream or records yet is compiled first, with the same settings that the stages take; where the job asks for write fields, field by field, and the stage's moves count.",
            Examples =
            [
                new("patternc estimate chip.dxf --machine machine.yaml --process process.yaml", "before anything is compiled"),
                new("patternc estimate chip.stream --job job.yaml --json", "of a stream, for a script"),
            ],
            Arguments = { input },
            Options = { output, json, places },
        };
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            using CompiledInput source = CompiledInput.Open(result.GetRequiredValue(input), result, settings, drawing, SettingsNeed.All, context);
            source.UsePlaces(places, result);
            var judge = new ExposureJudge(source.Settings);
            source.Pipeline.Run(source.Document, [judge]);
            ExposureEstimate estimate = source.Pipeline.Complete(judge.ToEstimate());
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            if (result.GetValue(json))
            {
                EstimateJson.Write(estimate, file.Stream);
            }
            else
            {
                file.Stream.Write(Encoding.UTF8.GetBytes(EstimateText.Format(estimate)));
            }

            // Before the table: a strict estimate of lines that would print leaves none.
            ExposureJudge.Report(estimate, context.Sink);
            file.Commit();
            return ExitCode.Done;
        });
    }
}
