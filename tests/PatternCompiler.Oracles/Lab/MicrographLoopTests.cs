using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Measure;
using PatternCompiler.Measure.Edges;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using Xunit.Abstractions;
using PictureRead = PatternCompiler.Measure.Micrographs.Micrograph;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// Micrographs that the virtual lab's camera takes of what it has written and developed, measured against the drawing: widths against
/// those of the film itself, along the same lines. The camera turns, blurs and shades pictures, its stated pixel is off by a percent,
/// and its noise, contrast and crest are another's in every lab. Side walls are upright, or a tenth of the step follows a film that thins
/// over tens of nanometres beside an edge.
/// </summary>
public sealed class MicrographLoopTests(ITestOutputHelper console)
{
    private const double PixelNanometres = 5;
    private const double LargestBias = 0.1 * PixelNanometres;
    private const int UsualSeeds = 4;
    private const int OtherDrawing = 100_000;

    [Theory]
    [InlineData(0)]
    [InlineData(0.1)]
    public void Widths_in_micrographs_are_those_of_the_film(double partByThickness)
    {
        var log = new StringBuilder();
        var biases = new List<(double Outward, double Error)>();
        LabVerdict verdict = LabSeeds.Run(LabSeeds.Chosen(UsualSeeds), seed => Loop(seed, partByThickness, log, biases));
        double mean = biases.Average(bias => bias.Outward), error = Math.Sqrt(biases.Sum(bias => bias.Error * bias.Error)) / biases.Count;
        console.WriteLine($"{verdict.Seeds} seeds, {verdict.Failed} missed, mean {mean:0.00} nm outward (standard error {error:0.00} nm)\n{verdict.Report}{log}");
        Assert.True(verdict.Failed <= 0.02 * verdict.Seeds, verdict.Report);
        Assert.InRange(mean, -LargestBias - (3 * error), LargestBias + (3 * error));
    }

    [Fact]
    public void Micrographs_of_something_else_are_refused()
    {
        LabVerdict verdict = LabSeeds.Run(LabSeeds.Chosen(UsualSeeds), seed =>
        {
            using var folder = new TemporaryFolder();
            (_, PictureRead picture) = Photograph(seed, Bars(seed), folder);
            try
            {
                MeasuredPicture measured = Measured(picture, Bars(seed + OtherDrawing));
                return $"measured, though it shows something else ({100 * measured.Explained:0} % explained; edges {measured.Strips.Count(e => e.IsFound)} of {measured.Strips.Length}, {measured.ResidualNanometres:0.0} nm off)";
            }
            catch (CompileException)
            {
                return null;
            }
        });
        console.WriteLine($"{verdict.Seeds} seeds, {verdict.Failed} missed\n{verdict.Report}");
        Assert.True(verdict.Failed == 0, verdict.Report);
    }

    /// <summary>
    /// Roughness of a known power spectrum. Means over strips of length s of a field with autocorrelation σ²·exp(−r²/ξ²) have the variance
    /// v(s) = (2σ²/s²)·∫₀ˢ (s − r)·exp(−r²/ξ²) dr; about the mean of an edge of length L, v(s) − v(L) is left.
    /// </summary>
    [Fact]
    public void Roughness_in_micrographs_is_that_of_the_known_spectrum()
    {
        const double Deviation = 4, Correlation = 60;
        var ratios = new List<double>();
        var log = new StringBuilder();
        LabVerdict verdict = LabSeeds.Run(LabSeeds.Chosen(UsualSeeds), seed =>
        {
            using var folder = new TemporaryFolder();
            string drawing = TallBars(seed);
            (_, PictureRead picture) = Photograph(seed, drawing, folder, new EdgeRoughness(new Dice(seed, "roughness"), Deviation, Correlation));
            MeasuredPicture measured = Measured(picture, drawing);
            double found = 0, wanted = 0;
            foreach (MeasuredWidth width in measured.Widths.Where(width => width.Places >= 3))
            {
                double strip = measured.Strips.Where(edge => edge.IsFound).Average(edge => edge.Strip.LengthNanometres), length = strip * width.Places;
                found += width.EdgeRoughnessNanometres * width.EdgeRoughnessNanometres / 9;
                wanted += Variance(strip) - Variance(length);
            }

            double ratio = Math.Sqrt(found / wanted);
            ratios.Add(ratio);
            log.Append(CultureInfo.InvariantCulture, $"seed {seed}: roughness {ratio:0.00} times that of the spectrum\n");
            return ratio is > 0.6 and < 1.4 ? null : FormattableString.Invariant($"roughness {ratio:0.00} times that of the spectrum");
        });
        console.WriteLine($"{verdict.Seeds} seeds, {verdict.Failed} missed, mean {ratios.Average():0.000}\n{verdict.Report}{log}");
        Assert.True(verdict.Failed <= 0.02 * verdict.Seeds, verdict.Report);
        Assert.InRange(ratios.Average(), 0.9, 1.1);

        static double Variance(double length)
        {
            const int Steps = 400;
            double sum = 0;
            for (int i = 0; i < Steps; i++)
            {
                double r = length * (i + 0.5) / Steps;
                sum += (length - r) * Math.Exp(-r * r / (Correlation * Correlation)) * length / Steps;
            }

            return 2 * Deviation * Deviation / (length * length) * sum;
        }
    }

    // The place that explains a picture best may bring most edges near some drawn one; they lie anywhere then.
    [Fact]
    public void Edges_that_are_near_by_chance_are_no_proof()
    {
        using var folder = new TemporaryFolder();
        (_, PictureRead picture) = Photograph(14, Bars(14), folder);
        Assert.Matches(
            @"^picture: error PC4103: the drawing explains only \d\d % of this picture, and its edges lie \d\d nm \(root mean square\) from where they are drawn: it shows something else; "
            + "name the drawing that was written there; if edges are off so far, look for them with a larger --search$",
            Assert.Throws<CompileException>(() => Measured(picture, Bars(14 + OtherDrawing))).Diagnostic.ToString());
    }

    private static string? Loop(long seed, double partByThickness, StringBuilder log, List<(double Outward, double Error)> biases)
    {
        using var folder = new TemporaryFolder();
        string drawing = Bars(seed);
        (DevelopedFilm film, PictureRead picture) = Photograph(seed, drawing, folder, partByThickness: partByThickness);
        MeasuredPicture measured = Measured(picture, drawing);
        double sum = 0, edges = 0, squares = 0;
        int count = 0;
        var each = new StringBuilder();
        foreach (MeasuredWidth width in measured.Widths)
        {
            // A width from a single place has no interval.
            double standardError = (width.HighNanometres - width.LowNanometres) / (2 * 1.96);
            if (!double.IsNaN(standardError) && TrueWidth(film, measured, width) is { } truth)
            {
                each.Append(CultureInfo.InvariantCulture, $"  {(width.IsGap ? "gap" : "bar")} of {width.DrawnNanometres:0} nm, {width.LengthNanometres:0} nm long, at ({width.XNanometres:0}, {width.YNanometres:0}): {width.WidthNanometres - truth:0.00} nm off, standard error {standardError:0.00} nm\n");
                edges += (width.IsGap ? -1 : 1) * (width.WidthNanometres - truth);
                (sum, squares, count) = (sum + width.WidthNanometres - truth, squares + (standardError * standardError), count + 1);
            }
        }

        // Lines too wide and gaps as much too narrow would make up for each other.
        double bias = sum / count, outward = edges / count, noise = Math.Sqrt(squares) / count;
        double common = 2 * measured.EdgePlaceErrorNanometres;
        log.Append(CultureInfo.InvariantCulture, $"seed {seed}: {count} widths, bias {bias:0.00} nm, {outward:0.00} nm outward (standard error in common {common:0.00} nm), standard error {noise:0.00} nm, {100 * measured.Explained:0} % explained, edges {measured.Strips.Count(e => e.IsFound)} of {measured.Strips.Length}, {measured.ResidualNanometres:0.0} nm off\n");
        bool isOff = Math.Abs(bias) > LargestBias + (3 * noise) || Math.Abs(outward) > LargestBias + (3 * Math.Sqrt((noise * noise) + (common * common)));
        if (isOff)
        {
            log.Append(each);
        }

        biases.Add((outward, Math.Sqrt((noise * noise) + (common * common))));
        return count == 0 ? "no width was measured" : isOff ? FormattableString.Invariant($"widths are {bias:0.00} nm off, {outward:0.00} nm of it outward (standard errors {noise:0.00} and {common:0.00} nm)") : null;
    }

    /// <summary>Mean width of the film at the places where a line or gap was measured.</summary>
    private static double? TrueWidth(DevelopedFilm film, MeasuredPicture measured, MeasuredWidth width)
    {
        double sum = 0;
        int places = 0;
        foreach (EdgeStrip strip in measured.Strips.Where(edge => edge.IsFound).Select(edge => edge.Strip))
        {
            (double dx, double dy) = (strip.X - width.XNanometres, strip.Y - width.YNanometres);
            double across = (dx * width.AcrossX) + (dy * width.AcrossY), along = (dy * width.AcrossX) - (dx * width.AcrossY);
            double parallel = (strip.OutX * width.AcrossX) + (strip.OutY * width.AcrossY);
            if (Math.Abs(Math.Abs(across) - (width.DrawnNanometres / 2)) > 0.01 || Math.Abs(along) > width.LengthNanometres / 2 || Math.Abs(parallel) < 0.99)
            {
                continue;
            }

            (double x, double y) = (width.XNanometres - (along * width.AcrossY), width.YNanometres + (along * width.AcrossX));
            double? right = film.DistanceToEdge(x, y, width.AcrossX, width.AcrossY, width.DrawnNanometres);
            double? left = film.DistanceToEdge(x, y, -width.AcrossX, -width.AcrossY, width.DrawnNanometres);
            if (right is null || left is null)
            {
                return null;
            }

            (sum, places) = (sum + right.Value + left.Value, places + 1);
        }

        return sum / places;
    }

    private static MeasuredPicture Measured(PictureRead picture, string drawing)
    {
        LayoutDocument layout = LayoutReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(drawing)), "bars.layout", DrawingOptions.Default, new DiagnosticSink());
        FlatLayout flat = FlattenPass.Run(layout, new FlattenOptions(), new DiagnosticSink());
        return MicrographMeasurement.Run(picture, flat, new MeasureOptions(PixelNanometres, MapFreedom.Similarity), "picture", new DiagnosticSink());
    }

    /// <summary>Writes a drawing in a lab, develops it and takes its picture, with the dose that is right there.</summary>
    private static (DevelopedFilm Film, PictureRead Picture) Photograph(long seed, string drawing, TemporaryFolder folder, EdgeRoughness? roughness = null, double partByThickness = 0)
    {
        LabTruth truth = LabTruth.Draw(seed, new LabSetup { Faults = LabFaults.Lateral });
        var setup = new LabSetup();
        SpreadPart[] parts = [.. truth.Resist.Spread];
        double clearing = truth.Resist.EdgeMicrocoulombs * setup.CurrentPicoamperes / truth.Column.CurrentPicoamperes;
        string machine = Path.GetFullPath(OutsidePrograms.Corpus("..", "..", "examples", "humidity-sensor", "machine-16bit.yaml"));
        folder.Write("bars.layout", drawing);
        folder.Write("process.yaml", string.Create(
            CultureInfo.InvariantCulture,
            $"process: p\ndose: {{area: {2 * clearing:0.###} uC/cm2, line: 1 nC/cm, dot: 1 fC}}\nresist: {{contrast: 4, clearing: {clearing:0.###} uC/cm2}}\nspread: {{forward: {parts[0].RangeNanometres:0.###} nm, backscatter: {parts[1].RangeNanometres:0.###} nm, ratio: {parts[1].Ratio:0.####}}}\n"));
        folder.Write("job.yaml", $"job: bars\nmachine: {machine}\nprocess: process.yaml\nsources: [bars.layout]\ncorrect: {{target: edge}}\nfill: {{line_pitch: 8 codes, point_step: 8 codes}}\n");
        var lab = new Laboratory(truth);
        Sample sample = lab.Write(DecodedExposure.Read(CompiledExposure.Of(folder["job.yaml"])));
        var dice = new Dice(seed, "camera");
        var camera = new Camera(truth.Microscope, dice);
        var shot = new Shot { CentreXNanometres = dice.Normal(0, 100), CentreYNanometres = dice.Normal(0, 100), NanometresPerPixel = PixelNanometres, PartByThickness = partByThickness, Roughness = roughness };
        DevelopedFilm film = sample.Develop(camera.WindowOf(shot));
        var taken = camera.Photograph(film, shot);
        return (film, MicrographReader.Read(new MemoryStream(PictureFiles.Npy(taken)), "picture.npy", CancellationToken.None));
    }

    /// <summary>Bars of random widths and lengths in three rows with random gaps, as a layout.</summary>
    private static string Bars(long seed)
    {
        var dice = new Dice(seed, "bars");
        var text = new StringBuilder("layout 1\nunit nm\nlayer a\n");
        double bottom = -1000;
        for (int row = 0; row < 3; row++)
        {
            double top = bottom + dice.Between(450, 650);
            double left = -1400 + dice.Between(0, 200);
            while (left < 1000)
            {
                double width = dice.Between(150, 500);
                text.Append(CultureInfo.InvariantCulture, $"rect on a from ({left:0}, {bottom:0}) to ({left + width:0}, {top:0})\n");
                left += width + dice.Between(150, 400);
            }

            bottom = top + dice.Between(150, 300);
        }

        return text.ToString();
    }

    /// <summary>Bars nearly as long as a picture is high, so that even long strips have many places along them.</summary>
    private static string TallBars(long seed)
    {
        var dice = new Dice(seed, "tall bars");
        var text = new StringBuilder("layout 1\nunit nm\nlayer a\n");
        for (double left = -1000; left < 800;)
        {
            double width = dice.Between(150, 300);
            text.Append(CultureInfo.InvariantCulture, $"rect on a from ({left:0}, -750) to ({left + width:0}, 750)\n");
            left += width + dice.Between(200, 400);
        }

        return text.ToString();
    }
}
