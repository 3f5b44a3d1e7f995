using System.CommandLine;
using PatternCompiler.Checks;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc fracture</c>: a layout to figures.</summary>
internal static class FractureCommand
{
    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Layout, or any drawing.");
        Option<string> output = FileOption.CreateOutput("figures", "Write the figures to FILE.");
        Option<bool> binary = DocumentFormOption.Create();
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(SettingsNeed.Process, SettingOverride.Direction(), SettingOverride.Smoothing(), SettingOverride.Grid(), SettingOverride.ChordError(), SettingOverride.Position());
        var command = new PatternCommand("fracture", "Merge each layer and cut it into trapezoids.")
        {
            Details = "The hierarchy is resolved, overlaps of a layer are merged, and the areas are cut into trapezoids that cover them exactly, without gaps and without overlaps. Lines without width and dots pass through. Where the job wants heights of a layer, they become the doses of large areas by the resist of the process.",
            Examples =
            [
                new("patternc fracture chip.layout -o chip.figures", "cuts a layout"),
                new("patternc parse chip.dxf | patternc fracture --binary > chip.figures", "in a pipe, in the compact form"),
            ],
            Arguments = { input },
            Options = { output, binary },
        };
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            bool isBinary = result.GetValue(binary);
            using CompiledInput source = CompiledInput.OpenDrawing(result.GetRequiredValue(input), result, settings, drawing, SettingsNeed.None, context);
            Pipeline stages = source.Pipeline;
            FiguresDocument figures = stages.Fracture(stages.WithHeights(stages.Flatten(stages.Layout())));
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output), isBinary);
            IDocumentSink<FiguresHeader, Figure> writer = isBinary ? new FiguresBinaryWriter(file.Stream) : new FiguresTextWriter(file.Stream);
            stages.Check(figures, writer);
            file.Commit();
            return ExitCode.Done;
        });
    }
}
