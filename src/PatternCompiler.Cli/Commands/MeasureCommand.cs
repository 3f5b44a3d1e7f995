using System.CommandLine;
using System.Text;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Measuring;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Cli.Simulating;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Measure;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Pictures;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc measure</c>: what a micrograph shows of a drawing.</summary>
internal sealed class MeasureCommand
{
    private const double UsualSearchNanometres = 100;

    private readonly Argument<string> input = InputArgument.Create("Micrograph: PNG, JPEG, TIFF of 8 or 16 bits, or an array file (.npy).");
    private readonly Option<string> output = FileOption.CreateOutput(OutputChoice.TextOrJson, "Write the report to FILE.");
    private readonly Option<string?> against = FileOption.CreateRead("--against", "The layout or drawing that was written.");
    private readonly Option<Quantity?> pixel = QuantityOption.CreateWithin("--pixel", "Size of a pixel on the sample; what the file states if absent.", new(0.01, Unit.Nanometre), new(10_000, Unit.Nanometre));
    private readonly ChoiceOption<MapFreedom> fit = ChoiceOption<MapFreedom>.Create(
        "--fit",
        "What of the picture's place is fitted: offset and rotation, one scale too, or scales along both axes and their angle.",
        new(("rigid", MapFreedom.Rigid), ("similarity", MapFreedom.Similarity), ("affine", MapFreedom.Affine)));
    private readonly Option<PictureWindow?> window = WindowOption.Create("The middle of the picture lies in this square of the drawing: its middle and its width.");
    private readonly Option<Quantity?> search = QuantityOption.CreateWithin(
        "--search", "How far from a drawn edge the printed one is looked for; 100 nm if absent.", new(1, Unit.Nanometre), new(10_000, Unit.Nanometre));
    private readonly Option<string> widths = Table("--widths", "Write widths of lines and gaps, and their roughness.");
    private readonly Option<string> doses = Table("--doses", "Write squares, bars and gaps of a dose test as the table that 'fit dose' takes.");
    private readonly Option<string> marks = Table("--marks", "Write the middles of crosses, for 'fit field'.");
    private readonly Option<string> seen = Table("--seen", "Write where crosses are seen, a view for 'fit field'.");
    private readonly ChoiceOption<int> turned = ChoiceOption<int>.Create("--turned", "The sample is turned counter-clockwise by this.", new(("0", 0), ("90", 90), ("180", 180), ("270", 270)));
    private readonly Option<string> tails = Table("--tails", "Write how far the ends of single lines run on, and what is missing at their starts, as the table that 'fit blanker' takes.");
    private readonly Option<string> offsets = Table("--offsets", "Write how far upright and level single lines lie off as the table that 'fit converter' takes.");
    private readonly Option<string> settling = Table("--settling", "Write how far dots have stayed behind after jumps as the table that 'fit settling' takes.");
    private readonly Option<string> verniers = Table("--verniers", "Write by how much combs on the two sides of a border are off against each other.");
    private readonly ChoiceOption<ResistTone> tone = ChoiceOption<ResistTone>.Create("--tone", "What exposure does to the resist: which side of an edge has the film that thins beside it, and whether --doses says 'cleared' or 'stands'.", Choices.Tone);
    private readonly Option<string> overlay = FileOption.CreateWritten("--overlay", _ => OutputChoice.Of("png"), "Draw what was found where over the micrograph, as PNG.");
    private readonly Option<bool> json = new("--json") { Description = "One JSON object instead of a table; names end in their unit and never change." };
    private readonly DrawingArguments drawing = new();
    private readonly SettingsOptions settings = new(SettingsNeed.All);

    public static PatternCommand Create() => new MeasureCommand().Command();

    private PatternCommand Command()
    {
        var command = new PatternCommand("measure", "Measure a micrograph against the drawing that was written.")
        {
            Details = "The picture's place in the drawing is found by itself: any offset, up to 10 degrees of rotation and, with --fit similarity or affine, up to a fifth of scale. It may show either tone, bright edges, shading and a strip of data at its foot; it must be upright and not mirrored. Every drawn edge in it is looked for along its normal: an edge lies where the fitted, blurred step is half done, under the middle of its crest if edges are bright, at the foot of its side wall if one shows. "
                + "Lengths are as right as the size of a pixel, unless the scale is fitted to the drawing: then the drawing is the ruler, and an error of the writer's own scale is not seen. Offset and rotation are always fitted, so that those of the field are not seen either. "
                + "--tails and --settling need to know how the pattern was written: name its job, or its machine and process. "
                + "Widths come with 95 % intervals, roughness as three standard deviations with the picture's noise taken out. Pictures that are flat, saturated, too blurred, repeat themselves, or show something else are refused with the reason; nothing of them is measured.",
            Examples =
            [
                new("patternc measure bars.tif --against bars.layout", "edges and widths, by the pixel size that the file states"),
                new("patternc measure bars.png --against bars.layout --pixel \"5 nm\" --widths widths.csv --overlay found.png", "a table of widths, and a picture of what was found where"),
                new("patternc measure chip.tif --against chip.dxf --fit similarity --window \"10 um, -5 um, 4 um\"", "a part of a chip; the drawing is the ruler"),
                new("patternc measure test.tif --against dose-test.layout --doses readings.csv", "a dose test, for 'patternc fit dose'"),
                new("patternc measure marks.tif --against field-grid.layout --marks marks.csv", "crosses, for 'patternc fit field'"),
                new("patternc measure lines.tif --against blanker-target.layout --job job.yaml --tails lines.csv", "ends of lines, for 'patternc fit blanker'"),
                new("patternc measure carries.tif --against dac-target.layout --pixel \"7 nm\" --offsets offsets.csv", "places of lines, for 'patternc fit converter'"),
            ],
            Arguments = { input },
            Options = { output, against, pixel, fit, window, search, turned, widths, doses, marks, seen, tails, offsets, settling, verniers, tone, overlay, json },
        };
        drawing.AddTo(command);
        settings.AddTo(command);
        return command.Runs(Run);
    }

    private int Run(ParseResult result, CommandContext context)
    {
        string reference = result.GetValue(against) ?? throw Wrong("it is not said what the micrograph shows", "add --against with the layout or drawing that was written");
        string name = result.GetRequiredValue(input);
        Micrograph picture;
        using (InputStream source = context.Open(name))
        {
            picture = MicrographReader.Read(source, source.Name, context.Cancellation);
        }

        double size = result.GetValue(pixel)?.In(Unit.Nanometre) ?? picture.NanometresPerPixel ?? throw new CompileException(
            MeasureCodes.NoScale,
            "the file does not state the size of a pixel",
            new SourcePlace(name),
            "add for example --pixel \"5 nm\"; if it is only known within a fifth, --fit similarity, too");
        BuildSettings chosen = settings.Read(result, context, SettingsNeed.None);
        int turn = turned.In(result);
        FlatLayout layout = DrawnReference.Read(reference, chosen, drawing, result, context, turn);
        var options = new MeasureOptions(size, fit.In(result))
        {
            Limits = chosen.Job.Limits,
            FilmIsInside = tone.In(result) == ResistTone.Negative,
            Window = PrintSimulation.Square(result.GetValue(window)),
            SearchNanometres = result.GetValue(search)?.In(Unit.Nanometre) ?? UsualSearchNanometres,
        };
        MeasuredPicture measured = MicrographMeasurement.Run(picture, layout, options, name, context.Sink, context.Cancellation);

        // All tables first: one that would be empty leaves no output at all.
        ExposureTiming? timing = result.GetValue(tails) is null && result.GetValue(settling) is null ? null : WrittenTiming.Of(settings.Read(result, context));
        var outputs = new List<(string Name, bool IsBinary, Action<Stream> Write)>();
        AddTable(widths, () => MeasureTables.Widths(measured, name));
        AddTable(doses, () => MeasureTables.Doses(measured, tone.In(result) == ResistTone.Positive, name));
        AddTable(marks, () => MeasureTables.Marks(measured, name));
        AddTable(seen, () => MeasureTables.Seen(measured, turn, name));
        AddTable(tails, () => MeasureTables.Tails(measured, timing!, name));
        AddTable(offsets, () => MeasureTables.Offsets(measured, name));
        AddTable(settling, () => MeasureTables.Settling(measured, timing!, name));
        AddTable(verniers, () => MeasureTables.Verniers(measured, name));
        if (result.GetValue(overlay) is { } drawn)
        {
            outputs.Add((drawn, true, stream => MeasureOverlay.Write(picture, layout, measured, stream)));
        }

        outputs.Add((result.GetRequiredValue(output), false, stream =>
        {
            if (result.GetValue(json))
            {
                MeasureJson.Write(picture, measured, stream);
            }
            else
            {
                stream.Write(Encoding.UTF8.GetBytes(MeasureReport.Text(picture, measured)));
            }
        }));
        WriteTogether(outputs, context);
        return ExitCode.Done;

        void AddTable(Option<string> option, Func<string> text)
        {
            if (result.GetValue(option) is { } file)
            {
                byte[] bytes = Encoding.UTF8.GetBytes(text());
                outputs.Add((file, false, stream => stream.Write(bytes)));
            }
        }
    }

    private static Option<string> Table(string name, string description) => FileOption.CreateWritten(name, _ => new OutputChoice([FileContent.Table]), description);

    // None gets its name before all are written; the report, which may go to standard output, comes last.
    private static void WriteTogether(List<(string Name, bool IsBinary, Action<Stream> Write)> outputs, CommandContext context)
    {
        var files = new List<OutputFile>();
        try
        {
            foreach ((string name, bool isBinary, Action<Stream> write) in outputs)
            {
                OutputFile file = context.Outputs.Create(name, isBinary);
                files.Add(file);
                write(file.Stream);
                if (name != OutputFiles.StandardName)
                {
                    file.Close();
                }
            }

            files.ForEach(file => file.Commit());
        }
        finally
        {
            files.ForEach(file => file.Dispose());
        }
    }

    private static CompileException Wrong(string message, string fix) => new(CommandCodes.WrongUsage, message, new SourcePlace("patternc measure"), fix);
}
