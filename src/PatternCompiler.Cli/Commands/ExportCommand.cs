using System.CommandLine;
using PatternCompiler.BackEnds.Drawing;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc export</c>: a layout as a drawing for other programs.</summary>
internal static class ExportCommand
{
    private static readonly Choice<DrawingFormat?> Formats = new(("dxf", DrawingFormat.Dxf), ("svg", DrawingFormat.Svg), ("gdsii", DrawingFormat.Gdsii));

    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Layout, or any drawing.");
        Option<string> output = FileOption.CreateOutput(result => OutputChoice.ByFormat(result, [.. Formats.Words]), "Write the drawing to FILE.");
        var format = ChoiceOption<DrawingFormat?>.CreateOptional("--format", "Kind of drawing; by the output's name if absent.", Formats);
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(SettingsNeed.None, SettingOverride.Grid(), SettingOverride.ChordError());
        var command = new PatternCommand("export", "Export a layout as a drawing: DXF, SVG or GDSII.")
        {
            Details = "To lay a merged or corrected result over the original in a drawing program. What the format cannot hold (dose factors, long names) is reported.",
            Examples =
            [
                new("patternc boolean chip.dxf | patternc export -o merged.dxf", "what will be written, back as a drawing"),
                new("patternc export chip.layout --format gdsii > chip.gds", "a text layout for a layout program"),
            ],
            Arguments = { input },
            Options = { output, format },
        };
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            Job job = settings.Read(result, context).Job;
            string name = result.GetRequiredValue(output);
            DrawingFormat chosen = format.In(result, null) ?? FormatOf(name);
            LayoutDocument layout;
            using (InputStream source = context.Open(result.GetRequiredValue(input)))
            {
                layout = drawing.Read(source, job, result, context);
            }

            using OutputFile file = context.Outputs.Create(name, isBinary: chosen == DrawingFormat.Gdsii);
            var options = new DrawingWriteOptions { ChordErrorNanometres = job.ChordErrorNanometres, Limits = job.Limits };
            DrawingWriter.Write(layout, chosen, file.Stream, options, context.Sink, context.Cancellation);
            file.Commit();
            return ExitCode.Done;
        });
    }

    private static DrawingFormat FormatOf(string name) => Path.GetExtension(name).ToLowerInvariant() switch
    {
        ".gds" => DrawingFormat.Gdsii,
        [_, .. string word] when Formats.TryWord(word, out DrawingFormat? format) => format!.Value,
        _ => throw new CompileException(
            CommandCodes.WrongUsage,
            $"'{name}' does not say what kind of drawing to write",
            new SourcePlace("patternc export"),
            $"name it with --format {Formats.Alternatives}, or end the output's name in .dxf, .svg or .gds"),
    };
}
