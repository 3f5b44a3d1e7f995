using System.CommandLine;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.BackEnds.Picture;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Prediction.Stray;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc preview</c>: a picture of any document.</summary>
internal static class PreviewCommand
{
    private const int PeekBytes = 64;

    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Drawing, layout, figures, strokes, records, stream or manifest of write fields.");
        Option<string> output = FileOption.CreateOutput(result => OutputChoice.ByFormat(result, "png", "svg"), "Write the picture to FILE.");
        Option<string?> format = ChoiceOption.CreateOptional("--format", "PNG or SVG; by the output's name if absent, else PNG.", "png", "svg");
        Option<long?> width = NumberOption.CreateWhole(
            "--width", "Width in pixels.", PictureOptions.SmallestPixels, PictureOptions.LargestPixels);
        Option<long?> height = NumberOption.CreateWhole(
            "--height", "Height in pixels; by the content's shape if absent.", PictureOptions.SmallestPixels, PictureOptions.LargestPixels);
        Option<PictureWindow?> window = WindowOption.Create("Show only a part: its middle and its width.");
        var title = new Option<string?>("--title") { Description = "First words of the title line; the input's name if absent.", HelpName = "TEXT" };
        var strays = new Option<bool>("--strays") { Description = "Of strokes, records and streams: mark jumps that would print a stray line with the machine and resist of the settings." };
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(SettingsNeed.All, SettingOverride.Grid(), SettingOverride.ChordError());
        var command = new PatternCommand("preview", "Draw a picture of any document.")
        {
            Details = "The document is known by its first bytes. Exposures and jumps are told apart, tints show the dose, the axes are in micrometres, and once a converter's step is wide enough to be seen, its raster is drawn. The manifest of 'patternc split' shows the write fields, their seams and the way of the stage.",
            Examples =
            [
                new("patternc preview chip.dxf -o chip.png", "a picture of a drawing"),
                new("patternc preview chip.stream --strays --job job.yaml -o strays.png", "with the stray lines that a poor blanker would leave"),
                new("patternc preview chip.stream -o detail.svg --window \"10 um, -5 um, 2 um\"", "2 um around a place, of what the controller will do"),
                new("patternc preview fields/chip-fields.yaml -o fields.png", "the write fields of a pattern"),
            ],
            Arguments = { input },
            Options = { output, format, width, height, window, title, strays },
        };
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            bool marksStrays = result.GetValue(strays);
            BuildSettings chosen = settings.Read(result, context, marksStrays ? SettingsNeed.All : SettingsNeed.None);
            string name = result.GetRequiredValue(output);
            bool isSvg = result.GetValue(format) is { } given ? given == "svg" : name.EndsWith(".svg", StringComparison.OrdinalIgnoreCase);
            Scene scene;
            using (InputStream source = context.Open(result.GetRequiredValue(input)))
            {
                var options = new PictureOptions
                {
                    Title = result.GetValue(title) ?? (source.Name == InputFile.StandardName ? "" : Path.GetFileName(source.Name)),
                    WidthPixels = (int)(result.GetValue(width) ?? new PictureOptions().WidthPixels),
                    HeightPixels = (int)(result.GetValue(height) ?? 0),
                    Window = result.GetValue(window),
                };
                scene = Compose(source, options, marksStrays ? chosen : null, () => FlattenPass.Run(
                    drawing.Read(source, chosen.Job, result, context), StageOptions.Flatten(chosen.Job), context.Sink, context.Cancellation), context);
            }

            using OutputFile file = context.Outputs.Create(name, isBinary: !isSvg);
            if (isSvg)
            {
                SvgRenderer.Render(scene, file.Stream);
            }
            else
            {
                PngRenderer.Render(scene, file.Stream);
            }

            file.Commit();
            return ExitCode.Done;
        });
    }

    private static Scene Compose(InputStream source, PictureOptions options, BuildSettings? judged, Func<FlatLayout> readDrawing, CommandContext context)
    {
        ReadOnlySpan<byte> first = source.Peek(PeekBytes);
        if (FiguresReader.Recognises(first))
        {
            return FiguresPicture.Compose(FiguresReader.Read(source, source.Name, context.Sink, context.Cancellation), options);
        }

        if (StrokesReader.Recognises(first))
        {
            var strokes = new StrokesPicture(options);
            if (judged is null)
            {
                StrokesReader.Read(source, source.Name, strokes, context.Sink, context.Cancellation);
                return strokes.Compose();
            }

            var scan = StrayScan.For(judged.Machine, judged.Process);
            var scale = new ScalePass(StageOptions.Scale(judged.Job, judged.Machine), scan);
            StrokesReader.Read(source, source.Name, new FanOut<StrokesHeader, Stroke>([strokes, scale]), context.Sink, context.Cancellation);
            return StrayPicture.Mark(strokes.Compose(), scan);
        }

        if (RecordsReader.Recognises(first))
        {
            return ComposeRecords(options, judged, sink => RecordsReader.Read(source, source.Name, sink, context.Sink, context.Cancellation));
        }

        if (ExposureStreamReader.Recognises(first))
        {
            return ComposeRecords(options, judged, sink => ExposureStreamReader.Read(source, source.Name, sink, context.Sink, context.Cancellation));
        }

        if (FieldManifestFile.Recognises(first))
        {
            return PlanPicture(source, options, context);
        }

        return LayoutPicture.Compose(readDrawing(), options);
    }

    private static Scene ComposeRecords(PictureOptions options, BuildSettings? judged, Action<IDocumentSink<RecordsHeader, DeflectionRecord>> read)
    {
        var records = new RecordsPicture(options);
        if (judged is null)
        {
            read(records);
            return records.Compose();
        }

        var scan = StrayScan.For(judged.Machine, judged.Process);
        read(new FanOut<RecordsHeader, DeflectionRecord>([records, scan]));
        return StrayPicture.Mark(records.Compose(), scan);
    }

    /// <summary>The fields of a manifest, with their figures where it lists such files.</summary>
    private static Scene PlanPicture(InputStream source, PictureOptions options, CommandContext context)
    {
        FieldManifest manifest = FieldManifestFile.Read(source, source.Name);
        string folder = source.Name == InputFile.StandardName ? "" : Path.GetDirectoryName(source.Name) ?? "";
        List<FiguresDocument> figures = [];
        foreach (FieldFile file in manifest.Visits.SelectMany(visit => visit.Files.Where(file => file.Content == "figures")))
        {
            using InputStream part = context.Open(Path.Combine(folder, file.Path));
            figures.Add(FiguresReader.Read(part, part.Name, context.Sink, context.Cancellation));
        }

        return FieldPlanPicture.Compose(manifest.Plan, figures.Count == manifest.Visits.Length ? figures : [], options);
    }
}
