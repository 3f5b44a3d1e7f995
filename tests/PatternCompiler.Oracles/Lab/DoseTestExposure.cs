using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Generate.Patterns;
using PatternCompiler.Generate;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Measure;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Truth;
using SampleWindow = PatternCompiler.VirtualLab.Specimen.SampleWindow;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// A dose test as 'generate dose-matrix --bars 1' draws it, and the readings that the virtual lab's meter gives of what it has
/// written: the table for 'fit dose'.
/// </summary>
internal sealed class DoseTestExposure
{
    public const string Settings = "columns=2 rows=6 size=10um pitch=16um first-dose=0.45 last-dose=3.2 bars=1 narrowest=300nm";
    private const int ShapesOfDose = 9;
    private const int BarsInGroup = 5;
    private const double EdgeReach = 700;

    private readonly LayoutDocument layout = TestPatterns.Find("dose-matrix").Build(
        Settings.Split(' ').Select(pair => KeyValuePair.Create(pair.Split('=')[0], pair.Split('=')[1].Replace("um", " um", StringComparison.Ordinal).Replace("nm", " nm", StringComparison.Ordinal))));

    public void WriteLayout(string path)
    {
        using FileStream stream = File.Create(path);
        LayoutWriter.Write(layout, stream);
    }

    /// <summary>Reads the test on a sample: a table with dose factors.</summary>
    public string Table(Sample sample, Meter meter)
    {
        var text = new StringBuilder("feature, drawn [nm], length [um], bars, pitch [nm], beside [um], factor, measured [nm], thickness [nm]\n");
        RectangleShape[] shapes = [.. layout.Cells.Single().Shapes.OfType<RectangleShape>()];
        foreach (RectangleShape[] dose in shapes.Chunk(ShapesOfDose))
        {
            string factor = dose[0].DoseFactor.ToString();
            Place square = Middle(dose[0]), bar = Middle(dose[3]), group = Middle(dose[6]);
            var gap = new Place((Nanometres(dose[1].XRight) + Nanometres(dose[2].XLeft)) / 2, square.Y, Nanometres(dose[2].XLeft - (long)dose[1].XRight));
            double thickness = meter.Thickness(sample.Develop(SampleWindow.Around(square.X, square.Y, 200, 200), 10), square.X, square.Y);
            text.Append(CultureInfo.InvariantCulture, $"square,{square.Width},,,,,{factor},,{thickness}\n");
            Append(text, sample, meter, "gap", gap, factor, $",,{Nanometres(dose[1].XRight - (long)dose[1].XLeft) / 1000}");
            Append(text, sample, meter, "bar", bar, factor, ",,");
            Append(text, sample, meter, "bar", group, factor, FormattableString.Invariant($"{BarsInGroup},{2 * group.Width},"));
        }

        return text.ToString();
    }

    /// <summary>
    /// The same with the widths that micrographs show: one of every dose, from the gap to the bars, measured against the drawing. Where
    /// nothing prints, the picture is refused, and nothing of it is read. The stated pixel is a percent off, by which the ends of so wide a
    /// picture lie 140 nm off; the drawing is the ruler.
    /// </summary>
    /// <param name="sample">The sample.</param>
    /// <param name="meter">Reads thicknesses.</param>
    /// <param name="truth">The lab's truth; only its seed and its microscope are used.</param>
    /// <param name="refusals">Takes the numbers of the messages with which pictures are refused.</param>
    /// <param name="longer">How many times as long as usual a picture takes.</param>
    public string TableByPictures(Sample sample, Meter meter, LabTruth truth, IList<string> refusals, double longer)
    {
        const double Pixel = 25;
        var text = new StringBuilder("feature, drawn [nm], length [um], bars, pitch [nm], beside [um], factor, measured [nm], thickness [nm]\n");
        FlatLayout flat = FlattenPass.Run(layout, new FlattenOptions(), new DiagnosticSink());
        int number = 0;
        foreach (RectangleShape[] dose in layout.Cells.Single().Shapes.OfType<RectangleShape>().Chunk(ShapesOfDose))
        {
            Place square = Middle(dose[0]);
            double thickness = meter.Thickness(sample.Develop(SampleWindow.Around(square.X, square.Y, 200, 200), 10), square.X, square.Y);
            text.Append(CultureInfo.InvariantCulture, $"square,{square.Width},,,,,{dose[0].DoseFactor},,{thickness}\n");
            var dice = new Dice(truth.Seed, FormattableString.Invariant($"picture of dose {number++}"));
            var camera = new Camera(truth.Microscope, dice);
            double x = (Nanometres(dose[1].XLeft) + Nanometres(dose[^1].XRight)) / 2;
            var shot = new Shot { CentreXNanometres = x + dice.Normal(0, 100), CentreYNanometres = square.Y + dice.Normal(0, 100), Width = 1100, Height = 128, NanometresPerPixel = Pixel, Longer = longer };
            try
            {
                var picture = MicrographReader.Read(new MemoryStream(PictureFiles.Npy(camera.Photograph(sample.Develop(camera.WindowOf(shot)), shot))), "picture.npy", CancellationToken.None);
                var options = new MeasureOptions(Pixel, MapFreedom.Similarity) { Window = new(x - 1000, square.Y - 1000, x + 1000, square.Y + 1000), SearchNanometres = 150 };
                string table = MeasureTables.Doses(MicrographMeasurement.Run(picture, flat, options, "picture", new DiagnosticSink()), isPositive: true, "picture");
                foreach (string row in table.Split('\n').Skip(1).Where(row => row.StartsWith("bar", StringComparison.Ordinal) || row.StartsWith("gap", StringComparison.Ordinal)))
                {
                    text.Append(row.AsSpan(0, row.LastIndexOf(',') + 1)).Append('\n');
                }
            }
            catch (CompileException fault)
            {
                refusals.Add(fault.Diagnostic.Code.Id);
            }
        }

        return text.ToString();
    }

    private static void Append(StringBuilder text, Sample sample, Meter meter, string feature, Place place, string factor, string neighbours)
    {
        DevelopedFilm film = sample.Develop(SampleWindow.Around(place.X, place.Y, 2 * EdgeReach, 400));
        bool isBar = feature == "bar";
        if (Meter.Prints(film, place.X, place.Y) == isBar && meter.Width(film, place.X, place.Y, isAlongX: true, Math.Min(EdgeReach, place.Width)) is { } width)
        {
            text.Append(CultureInfo.InvariantCulture, $"{feature},{place.Width},10,{neighbours},{factor},{width},\n");
        }
    }

    private static Place Middle(RectangleShape shape) => new(
        Nanometres(shape.XLeft + (long)shape.XRight) / 2, Nanometres(shape.YBottom + (long)shape.YTop) / 2, Nanometres(shape.XRight - (long)shape.XLeft));

    private static double Nanometres(long steps) => steps * 0.1;

    private readonly record struct Place(double X, double Y, double Width);
}
