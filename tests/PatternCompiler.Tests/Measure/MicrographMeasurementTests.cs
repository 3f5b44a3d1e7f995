using System.Collections.Immutable;
using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Measure;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;
using SkiaSharp;

namespace PatternCompiler.Tests.Measure;

public sealed class MicrographMeasurementTests
{
    private const ulong UsualSeeds = 4;

    /// <summary>A step, with and without a bright crest, either tone, shaded and turned; the scale is fitted from 2 % off.</summary>
    [Theory]
    [InlineData(1, 0, 6.5, 0.06, false)]
    [InlineData(2, 0.2, -5.0, -0.1, false)]
    [InlineData(3, 0, -8.0, 0.15, true)]
    [InlineData(4, 0.3, 3.0, 0, true)]
    public void Place_scale_and_widths_come_back_within_a_tenth_of_a_pixel(int seed, double crest, double bias, double turn, bool isLightInside)
    {
        SyntheticMicrograph truth = Bars() with
        {
            Seed = (ulong)seed,
            Crest = crest,
            CrestWidth = 14,
            Bias = bias,
            Shading = 0.1,
            Levels = isLightInside ? (0.35, 0.6) : (0.6, 0.35),
            Map = PictureMap.Similar(40 * seed, -30 * seed, 5.1, turn),
        };
        MeasuredPicture measured = Measure(truth, MapFreedom.Similarity);
        Assert.InRange(measured.Map.DistanceTo(truth.Map, truth.Width / 2.0, truth.Height / 2.0), 0, 0.1 * 5.1);
        Assert.Equal(0, measured.Edges.Lost);

        // What the picture leaves open of crest and side wall moves all edges together; it is told, and is little.
        Assert.InRange(measured.EdgePlaceErrorNanometres, 0, 0.1 * 5.1);
        double open = 2 * measured.EdgePlaceErrorNanometres;
        Assert.Equal(bias, measured.Edges.MeanNanometres, 0.05 * 5.1 + open);
        MeasuredWidth[] bars = [.. measured.Widths.Where(width => !width.IsGap)], gaps = [.. measured.Widths.Where(width => width.IsGap)];
        Assert.True(bars.Length > 4 && gaps.Length > 3);
        Assert.InRange(bars.Average(bar => bar.WidthNanometres - bar.DrawnNanometres - 2 * bias), -0.51 - 2 * open, 0.51 + 2 * open);
        Assert.InRange(gaps.Average(gap => gap.WidthNanometres - gap.DrawnNanometres + 2 * bias), -0.51 - 2 * open, 0.51 + 2 * open);
        Assert.Contains(measured.Widths, width => width.DoseFactor == 1.5);
    }

    /// <summary>What stretches a picture along one axis is found with an affine map, and shows as an error of place without.</summary>
    [Fact]
    public void An_affine_map_takes_different_scales_along_the_axes()
    {
        SyntheticMicrograph truth = Bars() with { Map = new PictureMap(20, 30, 5.05, 0.02, -0.03, 4.95) };
        MeasuredPicture affine = Measure(truth, MapFreedom.Affine);
        Assert.InRange(affine.Map.DistanceTo(truth.Map, truth.Width / 2.0, truth.Height / 2.0), 0, 0.5);
        MeasuredPicture similar = Measure(truth, MapFreedom.Similarity);
        Assert.True(similar.ResidualNanometres > 1.5 * affine.ResidualNanometres && similar.Map.DistanceTo(truth.Map, truth.Width / 2.0, truth.Height / 2.0) > 5);
    }

    /// <summary>
    /// Cramér and Rao: with white noise of standard deviation σ in each pixel, a straight edge of length L pixels and profile f (d in
    /// pixels) cannot be placed better than σ / √(L ∫ f'²); a blurred step of height h and standard deviation s has ∫ f'² = h²/(2√π s).
    /// PATTERNC_LAB_SEEDS says over how many pictures.
    /// </summary>
    [Fact]
    public void Crosses_and_edges_are_placed_nearly_as_well_as_noise_allows()
    {
        ulong seeds = Environment.GetEnvironmentVariable("PATTERNC_LAB_SEEDS") is { Length: > 0 } many ? ulong.Parse(many.Split('-')[^1], CultureInfo.InvariantCulture) : UsualSeeds;
        double squares = 0;
        int count = 0;
        var truth = new SyntheticMicrograph { Rectangles = Crosses(), Width = 512, Height = 512, Map = PictureMap.Similar(5, -8, 12, 0.03), Blur = 18 };
        const double Blur = 18 / 12.0;
        double information = 1 / (2 * Math.Sqrt(Math.PI) * Blur * truth.NoiseOverStep * truth.NoiseOverStep);

        // Along x work the upright sides: two of 2400 nm, less the crossing bar, and two ends of 200 nm.
        double bound = 12 / Math.Sqrt((2 * (2400 - 200) + 2 * 200) / 12.0 * information);
        for (ulong seed = 1; seed <= seeds; seed++)
        {
            MeasuredPicture measured = Measure(truth with { Seed = seed }, MapFreedom.Rigid, 12);
            Assert.Equal(4, measured.Crosses.Length);
            foreach (MeasuredCross cross in measured.Crosses)
            {
                squares += Square(cross.MeasuredX - cross.XNanometres) + Square(cross.MeasuredY - cross.YNanometres);
                count += 2;
                Assert.InRange(cross.ErrorX, bound, 1.5 * bound);
            }

            double one = 12 / Math.Sqrt(information * measured.Strips[0].Strip.LengthNanometres / 12);
            Assert.InRange(measured.EdgeNoiseNanometres, 0.8 * one, 1.5 * one);
            Assert.InRange(measured.Edges.DeviationNanometres, 0.8 * one, 1.5 * one);
        }

        Assert.InRange(Math.Sqrt(squares / count), 0.7 * bound, 1.5 * bound);
    }

    [Fact]
    public void Roughness_is_that_of_the_edges_without_the_noise()
    {
        // Waves of a known spectrum: three lengths, random phases for every edge. Their variance is the sum of squares over two.
        (double Amplitude, double Length)[] waves = [(3, 900), (2, 400), (1.5, 250)];
        double edge = Math.Sqrt(waves.Sum(wave => wave.Amplitude * wave.Amplitude / 2));
        SyntheticMicrograph truth = Bars() with
        {
            Electrons = 1500,
            Rough = (rectangle, side, along) => waves.Sum(wave => wave.Amplitude * Math.Sin(2 * Math.PI * along / wave.Length + 1.7 * rectangle + 2.3 * side + wave.Length)),
        };
        MeasuredWidth[] bars = [.. Measure(truth).Widths.Where(width => !width.IsGap && width.Places > 80)];
        Assert.True(bars.Length >= 4);
        Assert.InRange(bars.Average(bar => bar.EdgeRoughnessNanometres), 2.7 * edge, 3.2 * edge);
        Assert.InRange(bars.Average(bar => bar.WidthRoughnessNanometres), 2.5 * Math.Sqrt(2) * edge, 3.4 * Math.Sqrt(2) * edge);
        Assert.All(Measure(truth with { Rough = null }).Widths.Where(width => width.Places > 80), bar => Assert.InRange(bar.EdgeRoughnessNanometres, 0, 2.5));
    }

    [Fact]
    public void Squares_of_a_dose_test_print_or_not()
    {
        var truth = new SyntheticMicrograph
        {
            Rectangles = [.. Enumerable.Range(0, 6).Select(i => ((i % 3 - 1) * 900.0 - 200, (i / 3) * -900.0 + 250, (i % 3 - 1) * 900.0 + 200, (i / 3) * -900.0 + 650, 0.5 + 0.25 * i)), (650, 750, 1100, 930, 1)],
            Prints = i => i >= 2,
        };
        MeasuredPicture measured = Measure(truth);
        Assert.Equal(
            """
            feature, drawn [nm], length [um], bars, pitch [nm], beside [um], factor, measured [nm], cleared
            square, 400, , , , , 0.5, , no
            square, 400, , , , , 0.75, , no
            square, 400, , , , , 1, , yes
            square, 400, , , , , 1.25, , yes
            square, 400, , , , , 1.5, , yes
            square, 400, , , , , 1.75, , yes

            """,
            MeasureTables.Doses(measured, isPositive: true, "a.tif"));
        Assert.StartsWith("feature, drawn [nm], length [um], bars, pitch [nm], beside [um], factor, measured [nm], stands\n", MeasureTables.Doses(measured, isPositive: false, "a.tif"), StringComparison.Ordinal);
        Assert.Equal(
            "a.tif: error PC4111: no cross with edges on all sides was found in this picture, and a table of them was asked for; leave the table out, or take a picture that shows them",
            Fault(() => MeasureTables.Marks(measured, "a.tif")));
    }

    [Fact]
    public void Bars_alone_in_the_middle_of_several_and_gaps_go_into_the_table_of_a_dose_test()
    {
        var truth = new SyntheticMicrograph
        {
            Rectangles =
            [
                (-1100, -600, -1000, 600, 2), (-500, -600, -400, 600, 2), (-300, -600, -200, 600, 2), (-100, -600, 0, 600, 2),
                (500, -600, 750, 600, 2), (870, -600, 1120, 600, 2),
            ],
            Bias = 4,
            Electrons = 3000,
        };
        string[] rows = MeasureTables.Doses(Measure(truth), isPositive: true, "a.tif").Split('\n');
        string[] drawn = [.. rows.Skip(1).Where(row => row.Length > 0).Select(row => string.Join(",", row.Split(", ").Where((_, i) => i != 7)))];
        Assert.Equal(
            ["bar,100,1.2,,,,2,", "gap,100,1.2,3,200,,2,", "bar,100,1.2,3,200,,2,", "gap,100,1.2,3,200,,2,", "gap,120,1.2,,,0.25,2,"],
            drawn);
    }

    [Theory]
    [InlineData("flat", "a.tif: error PC4107: this picture shows nothing but noise: its greys differ by 0 from place to place, and noise alone makes 0; take it with more contrast, or longer")]
    [InlineData("noise", "a.tif: error PC4107: this picture shows nothing but noise: its greys differ by ")]
    [InlineData("saturated", "a.tif: error PC4106: ")]
    [InlineData("unrelated", "a.tif: error PC4103: the drawing explains ")]
    [InlineData("grating", "a.tif: error PC4104: this picture fits the drawing around ")]
    [InlineData("blurred", "a.tif: error PC4108: edges in this picture are blurred by ")]
    [InlineData("turned", "a.tif: error PC4105: this picture fits the drawing turned by -34.")]
    [InlineData("far", "a.tif: error PC4105: the drawing is 16 times as wide as this picture, which shows 2.56 um of it: too much to search; say with --window about where in the drawing the picture was taken")]
    [InlineData("small", "a.tif: error PC4107: this picture has 60 x 40 pixels, and at least 64 x 64 are needed; take a larger one")]
    public void What_cannot_be_measured_is_refused_with_the_reason(string kind, string message)
    {
        SyntheticMicrograph bars = Bars();
        ImmutableArray<(double, double, double, double, double)> grating = [.. Enumerable.Range(-40, 80).Select(i => (i * 100.0, -2500.0, i * 100.0 + 50, 2500.0, 1.0))];
        (SyntheticMicrograph shown, SyntheticMicrograph drawn) = kind switch
        {
            "flat" => (bars with { Prints = _ => false, Electrons = 0 }, bars),
            "noise" => (bars with { Prints = _ => false }, bars),
            "saturated" => (bars with { Levels = (1.4, 0.6) }, bars),
            "unrelated" => (new SyntheticMicrograph { Rectangles = [(-700, 100, -300, 160, 1), (200, -500, 260, -100, 1), (-500, -600, -100, -540, 1), (500, 200, 900, 700, 1)] }, bars),
            "grating" => (new SyntheticMicrograph { Rectangles = grating, Blur = 6 }, new SyntheticMicrograph { Rectangles = grating }),
            "blurred" => (bars with { Blur = 70 }, bars),
            "turned" => (bars with { Map = PictureMap.Similar(0, 0, 5, 0.6) }, bars),
            "far" => (bars, new SyntheticMicrograph { Rectangles = [(-20_000, -100, 20_000, 100, 1)] }),
            _ => (bars with { Width = 60, Height = 40 }, bars),
        };
        Micrograph picture = shown.Render();
        Assert.StartsWith(message, Fault(() => MicrographMeasurement.Run(picture, drawn.Layout(), new MeasureOptions(5, MapFreedom.Rigid), "a.tif", new DiagnosticSink())), StringComparison.Ordinal);
    }

    [Fact]
    public void Window_tells_which_of_many_equal_places_it_is()
    {
        var truth = new SyntheticMicrograph { Rectangles = [.. Enumerable.Range(-20, 40).Select(i => (i * 200.0, -2500.0, i * 200.0 + 100, 2500.0, 1.0))], Map = PictureMap.Similar(450, 100, 5, 0) };
        MeasuredPicture measured = MicrographMeasurement.Run(
            truth.Render(), truth.Layout(), new MeasureOptions(5, MapFreedom.Rigid) { Window = new(380, 30, 520, 170) }, "a.tif", new DiagnosticSink());
        Assert.Equal(450, measured.Map.CentreX, 0.5);
    }

    [Fact]
    public void A_line_that_leaves_the_picture_at_both_ends_is_measured_but_tells_no_scale()
    {
        var truth = new SyntheticMicrograph { Rectangles = [(-100, -1600, 100, 1600, 1)], Bias = 5, Map = PictureMap.Similar(60, 0, 5, 0.02) };
        MeasuredWidth line = Assert.Single(Measure(truth).Widths);
        Assert.Equal(210, line.WidthNanometres, 0.5);
        Assert.StartsWith("a.tif: error PC4109: nothing in this picture tells the scale better than within ", Fault(() => Measure(truth, MapFreedom.Similarity)), StringComparison.Ordinal);
    }

    [Fact]
    public void A_stated_pixel_that_disagrees_with_the_drawing_is_warned_about()
    {
        var sink = new DiagnosticSink();
        SyntheticMicrograph truth = Bars() with { Map = PictureMap.Similar(0, 0, 5.1, 0) };
        MicrographMeasurement.Run(truth.Render(), truth.Layout(), new MeasureOptions(5, MapFreedom.Rigid), "a.tif", sink);
        Assert.Matches(@"^a\.tif: warning PC4110: the drawing would fit pixels of 5\.(09|10)\d* nm \(within 0\.0\d %\), and 5 nm are stated; where the drawing is the better ruler, add --fit similarity$", Assert.Single(sink.Collected).ToString());
    }

    [Fact]
    public void A_strip_of_data_below_the_picture_is_left_out()
    {
        SyntheticMicrograph truth = Bars();
        Micrograph picture = truth.Render();
        var values = new float[picture.Width * (picture.Height + 30)];
        picture.Values.Span.CopyTo(values);
        values.AsSpan((picture.Height + 10) * picture.Width + 20, 200).Fill(65535);
        MeasuredPicture measured = MicrographMeasurement.Run(
            picture with { Height = picture.Height + 30, Values = values }, truth.Layout(), new MeasureOptions(5, MapFreedom.Rigid), "a.tif", new DiagnosticSink());
        Assert.Equal(picture.Height, measured.Rows);
        Assert.InRange(measured.Map.DistanceTo(truth.Map, 256, 192), 0, 0.5);
    }

    [Fact]
    public void The_overlay_marks_every_edge_and_the_places_without_one()
    {
        SyntheticMicrograph truth = Bars() with { Prints = i => i != 4 };
        Micrograph picture = truth.Render();
        MeasuredPicture measured = MicrographMeasurement.Run(picture, truth.Layout(), new MeasureOptions(5, MapFreedom.Rigid), "a.tif", new DiagnosticSink());
        Assert.InRange(measured.Edges.Lost, 100, 400);
        using var stream = new MemoryStream();
        MeasureOverlay.Write(picture, truth.Layout(), measured, stream);
        using SKBitmap drawn = SKBitmap.Decode(stream.ToArray());
        Assert.Equal((picture.Width, picture.Height), (drawn.Width, drawn.Height));
        SKColor[] colours = drawn.Pixels;
        Assert.True(colours.Count(c => c.Green > c.Red + 60 && c.Green > c.Blue + 60) > measured.Edges.Samples - measured.Edges.Lost);
        Assert.True(colours.Count(c => c.Red > c.Green + 100 && c.Red > c.Blue + 100) > measured.Edges.Lost);
    }

    [Fact]
    public void Same_picture_same_numbers() =>
        Assert.Equal(MeasureTables.Widths(Measure(Bars()), "a.tif"), MeasureTables.Widths(Measure(Bars()), "a.tif"));

    private static SyntheticMicrograph Bars() => new()
    {
        Rectangles =
        [
            (-900, -700, -700, 600, 1), (-500, -700, -300, 600, 1), (-100, -700, 100, 600, 1), (300, -700, 500, 600, 1), (800, -500, 1000, 300, 1.5),
            (-1000, 800, 200, 1000, 1), (700, 500, 1100, 900, 1),
        ],
    };

    // Each of three rectangles that meet: drawn as one outline, and blurred steps add up to one along their borders.
    private static ImmutableArray<(double, double, double, double, double)> Crosses() =>
    [
        .. Enumerable.Range(0, 4).SelectMany(i =>
        {
            (double x, double y) = ((i % 2) * 2800 - 1400, (i / 2) * 2800 - 1400);
            return ((double, double, double, double, double)[])
                [(x - 100, y - 1200, x + 100, y + 1200, 1), (x - 1200, y - 100, x - 100, y + 100, 1), (x + 100, y - 100, x + 1200, y + 100, 1)];
        }),
    ];

    private static MeasuredPicture Measure(SyntheticMicrograph truth, MapFreedom freedom = MapFreedom.Rigid, double pixel = 5) =>
        MicrographMeasurement.Run(truth.Render(), truth.Layout(), new MeasureOptions(pixel, freedom), "a.tif", new DiagnosticSink());

    private static string Fault(Action action) => Assert.Throws<CompileException>(action).Diagnostic.ToString();

    private static double Square(double value) => value * value;
}
