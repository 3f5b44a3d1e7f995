using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc parse</c>: a drawing of any kind to a text layout.</summary>
internal static class ParseCommand
{
    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Drawing: DXF or text layout.");
        Option<string> output = FileOption.CreateOutput("Write the layout to FILE.");
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(SettingsNeed.None, SettingOverride.Grid(), SettingOverride.ChordError());
        var command = new PatternCommand("parse", "Read a drawing and print it as a text layout.")
        {
            Details = "The kind of drawing is known by its first bytes. What is in the file and cannot be written is listed on standard error, counted by type and layer; nothing is dropped in silence.",
            Examples =
            [
                new("patternc parse chip.dxf -o chip.layout", "reads a whole drawing"),
                new("patternc parse chip.dxf --unit um --layer pads --layer fingers", "two layers of a drawing that states no unit"),
                new("patternc parse chip.layout --set \"pitch=2.5 um\"", "a text layout with another parameter"),
            ],
            Arguments = { input },
            Options = { output },
        };
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            StageSettings chosen = settings.Read(result, context);
            LayoutDocument layout;
            using (InputStream source = context.Open(result.GetRequiredValue(input)))
            {
                layout = drawing.Read(source, chosen, result, context);
            }

            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            LayoutWriter.Write(layout, file.Stream);
            file.Commit();
            return ExitCode.Done;
        });
    }
}
