using System.CommandLine;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Previewing;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction.Stray;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc preview</c>: a picture of any document.</summary>
internal static class PreviewCommand
{
    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Drawing, layout, figures, strokes, records, stream or manifest of write fields.");
        Option<string> output = FileOption.CreateOutput(result => OutputChoice.ByFormat(result, "png", "svg", "html"), "Write the picture or page to FILE.");
        ChoiceOption<PreviewFormat> format = CreateFormat();
        Option<long?> width = NumberOption.CreateWhole(
            "--width", "Width in pixels.", PictureOptions.SmallestPixels, PictureOptions.LargestPixels);
        Option<long?> height = NumberOption.CreateWhole(
            "--height", "Height in pixels; by the content's shape if absent.", PictureOptions.SmallestPixels, PictureOptions.LargestPixels);
        Option<PictureWindow?> window = WindowOption.Create("Show only a part: its middle and its width; of a page, where the print is predicted.");
        var title = new Option<string?>("--title") { Description = "First words of the title line; the input's name if absent.", HelpName = "TEXT" };
        var strays = new Option<bool>("--strays") { Description = "Mark jumps that would print a stray line with the machine and resist of the settings." };
        var traces = new TraceOptions();
        var drawing = new DrawingArguments();
        var settings = new SettingsOptions(SettingsNeed.All, SettingOverride.Grid(), SettingOverride.ChordError()) { Judges = true };
        var command = new PatternCommand("preview", "Draw a picture of any document.")
        {
            Details = "The document is known by its first bytes. Exposures and jumps are told apart, tints show the dose, the axes are in micrometres, and once a converter's step is wide enough to be seen, its raster is drawn. A page (-o NAME.html) plays what the beam does, on figures and layers, with every record's place, dose and time at a click, waits for the link and warnings in their place, and where a process is named the predicted print of the part where most edges lie, or of --window; it needs no network. Drawings, figures and strokes are compiled for it with the settings. The manifest of 'patternc split' shows the write fields, their seams and the stage path. With --traces, a stream or records are drawn over time: both outputs in volts and codes, the blank line and scan-enable, within a window of time or of records (the first 100 if none is named). With --machine or a job, the dashed lines show where the deflection is as the machine's settling has it, and when the blanker lets the beam through. --measured lays the table of a scope over them: delay, gain and offset of each channel are found by least squares, stand below the title and, with --numbers, in a file, with what they leave and the longest disagreement.",
            Examples =
            [
                new("patternc preview chip.dxf -o chip.png", "a picture of a drawing"),
                new("patternc preview chip.stream --strays --job job.yaml -o strays.png", "with the stray lines that a poor blanker would leave"),
                new("patternc preview chip.stream -o detail.svg --window \"10 um, -5 um, 2 um\"", "2 um around a place, of what the controller will do"),
                new("patternc preview chip.stream --traces --machine machine.yaml --from \"1 ms\" --for \"200 us\" -o traces.svg", "what the lines do from 1 ms on, and where the deflection is"),
                new("patternc preview chip.stream --traces --measured scope.csv --channels x,y --numbers scope.json -o scope.png", "a measured trace over the expected one"),
                new("patternc preview job.yaml -o chip.html", "a page that plays how the beam writes"),
                new("patternc preview fields/chip-fields.yaml -o fields.png", "the write fields of a pattern"),
            ],
            Arguments = { input },
            Options = { output, format, width, height, window, title, strays },
        };
        foreach (Option option in traces.All)
        {
            command.Options.Add(option);
        }

        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs((result, context) =>
        {
            bool marksStrays = result.GetValue(strays);
            bool areTraces = traces.AreAsked(result);
            if (areTraces && (marksStrays || result.GetValue(window) is not null))
            {
                throw TraceOptions.Wrong("--traces draws lines over time, not the sample", "leave out --strays and --window, or draw them as a picture of their own");
            }

            string name = result.GetRequiredValue(output);
            PreviewFormat form = format.In(result, PlayerPreview.IsPage(name) ? PreviewFormat.Page : PictureFile.IsSvg(name) ? PreviewFormat.Svg : PreviewFormat.Png);
            if (form == PreviewFormat.Page)
            {
                if (areTraces || marksStrays)
                {
                    throw TraceOptions.Wrong("a page plays the whole pattern", "leave out --traces and --strays, or draw a picture as SVG or PNG");
                }

                new PlayerPreview(settings, drawing, result, context).Write(result.GetRequiredValue(input), name, result.GetValue(title), result.GetValue(window));
                return ExitCode.Done;
            }

            string inputName = result.GetRequiredValue(input);
            bool hasMachine = areTraces && settings.NamesMachine(result);
            SettingsNeed need = marksStrays ? SettingsNeed.All : hasMachine ? SettingsNeed.Machine : SettingsNeed.None;
            using CompiledInput source = CompiledInput.Open(inputName, result, settings, drawing, need, context);
            var options = new PictureOptions
            {
                Title = result.GetValue(title) ?? (inputName == InputFile.StandardName ? "" : Path.GetFileName(inputName)),
                WidthPixels = (int)(result.GetValue(width) ?? new PictureOptions().WidthPixels),
                HeightPixels = (int)(result.GetValue(height) ?? 0),
                Window = result.GetValue(window),
            };
            if (areTraces)
            {
                var check = new OriginCheck(source.Settings, settings.AcceptsOthers(result), context.Sink);
                PictureFile.Write(name, form == PreviewFormat.Svg, new TracePreview(traces, result, context).Compose(source, inputName, hasMachine, check, options), context);
                return ExitCode.Done;
            }

            PictureFile.Write(name, form == PreviewFormat.Svg, marksStrays ? ComposeStrays(source, options) : Compose(source, options, context), context);
            return ExitCode.Done;
        });
    }

    private static ChoiceOption<PreviewFormat> CreateFormat() => ChoiceOption<PreviewFormat>.CreateOptional(
        "--format",
        "PNG, SVG or a page that plays the beam; by the output's name if absent, else PNG.",
        new(("png", PreviewFormat.Png), ("svg", PreviewFormat.Svg), ("html", PreviewFormat.Page)));

    private static Scene Compose(CompiledInput source, PictureOptions options, CommandContext context)
    {
        Pipeline stages = source.Pipeline;
        PipelineInput document = source.Document;
        switch (document.Kind)
        {
            case DocumentKind.Drawing:
                return LayoutPicture.Compose(stages.Flatten(stages.Layout()), options);
            case DocumentKind.Figures:
                return FiguresPicture.Compose(stages.ReadFigures(document), options);
            case DocumentKind.Strokes:
                var strokes = new StrokesPicture(options);
                stages.ReadStrokes(document, strokes);
                return strokes.Compose();
            case DocumentKind.Manifest:
                return PlanPicture(document, stages, options, context);
            default:
                var records = new RecordsPicture(options);
                stages.ReadRecords(document, records);
                return records.Compose();
        }
    }

    private static Scene ComposeStrays(CompiledInput source, PictureOptions options)
    {
        BuildSettings settings = source.Settings;
        if (source.Document.Kind == DocumentKind.Manifest || settings.Job.Fields is not null)
        {
            throw new CompileException(
                CommandCodes.WrongUsage,
                "--strays draws what is written from one position of the stage, and this pattern is divided into write fields",
                new SourcePlace("patternc preview"),
                "name the stream of one field");
        }

        var scan = StrayScan.For(settings.Machine, settings.Process);
        if (source.Document.Kind == DocumentKind.Strokes)
        {
            var strokes = new StrokesPicture(options);
            source.Pipeline.Run(source.Document, [new SinkWatcher(strokes, scan)]);
            return StrayPicture.Mark(strokes.Compose(), scan);
        }

        var records = new RecordsPicture(options);
        source.Pipeline.Run(source.Document, [new SinkWatcher(null, new FanOut<RecordsHeader, DeflectionRecord>([records, scan]))]);
        return StrayPicture.Mark(records.Compose(), scan);
    }

    /// <summary>The fields of a manifest, with their figures where it lists such files.</summary>
    private static Scene PlanPicture(PipelineInput source, Pipeline stages, PictureOptions options, CommandContext context)
    {
        FieldManifest manifest = FieldManifestFile.Read(source.Stream!, source.Name);
        string folder = source.Name == InputFile.StandardName ? "" : Path.GetDirectoryName(source.Name) ?? "";
        List<FiguresDocument> figures = [];
        foreach (FieldFile file in manifest.Visits.SelectMany(visit => visit.Files.Where(file => file.Content == "figures")))
        {
            using InputStream part = context.Open(Path.Combine(folder, file.Path));
            figures.Add(stages.ReadFigures(new PipelineInput(DocumentKind.Figures, part, part.Name)));
        }

        return FieldPlanPicture.Compose(manifest.Plan, figures.Count == manifest.Visits.Length ? figures : [], options);
    }
}
