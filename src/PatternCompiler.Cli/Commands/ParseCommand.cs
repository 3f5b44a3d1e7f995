using System.CommandLine;
using System.Text;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Layout.Summary;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc parse</c>: a drawing of any kind to a text layout.</summary>
internal static class ParseCommand
{
    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Drawing: text layout, DXF, SVG, GDSII, OASIS or PNG; the job's drawings if absent and --job is given.");
        Option<string> output = FileOption.CreateOutput(
            result => result.GetValue<bool>("--summary") ? OutputChoice.TextOrJson(result) : OutputChoice.Of("layout"), "Write the layout to FILE.");
        Option<bool> summary = new("--summary", "-s") { Description = "Print a table of the layers instead: shapes, copies counted, size, narrowest place, what stayed open or was ignored." };
        Option<bool> json = new("--json") { Description = "With --summary: print it as JSON, with all notes and warnings." };
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(SettingsNeed.None, SettingOverride.Grid(), SettingOverride.ChordError());
        var command = new PatternCommand("parse", "Read a drawing and print it as a text layout.")
        {
            Details = "The kind of drawing is known by its first bytes. What is in the file and cannot be written is listed on standard error, counted by type and layer; nothing is dropped in silence.",
            Examples =
            [
                new("patternc parse chip.dxf -o chip.layout", "reads a whole drawing"),
                new("patternc parse --job job.yaml > chip.layout", "the drawings of a job, in their place in the field"),
                new("patternc parse chip.dxf --unit um --layer pads --layer fingers", "two layers of a drawing that states no unit"),
                new("patternc parse chip.dxf --summary", "what is in a drawing, layer by layer"),
                new("patternc parse logo.png --unit \"50 nm\" --image-levels 8", "a picture with pixels of 50 nm and eight dose levels"),
                new("patternc parse chip.layout --set \"pitch=2.5 um\"", "a text layout with another parameter"),
            ],
            Arguments = { input },
            Options = { output, summary, json },
        };
        command.Validators.Add(result =>
        {
            if (result.GetValue(json) && !result.GetValue(summary))
            {
                result.AddError("option '--json' needs '--summary'");
            }
        });
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            BuildSettings chosen = settings.Read(result, context);
            Job job = chosen.Job;
            if (result.GetResult(input) is { Implicit: false } || job.Sources.IsEmpty)
            {
                job = job with { Sources = [drawing.SourceOf(result.GetRequiredValue(input), result)] };
            }

            LayoutDocument layout = context.Stages(chosen with { Job = job }).Layout();
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            if (result.GetValue(json))
            {
                LayoutSummaryJson.Write(LayoutSummary.Of(layout), context.Sink.Collected, file.Stream);
            }
            else if (result.GetValue(summary))
            {
                file.Stream.Write(Encoding.UTF8.GetBytes(LayoutSummaryText.Print(LayoutSummary.Of(layout), context.Sink.Collected)));
            }
            else
            {
                LayoutWriter.Write(layout, file.Stream);
            }

            file.Commit();
            return ExitCode.Done;
        });
    }
}
