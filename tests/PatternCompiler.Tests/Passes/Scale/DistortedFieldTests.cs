using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Passes.Scale;

public class DistortedFieldTests
{
    private static readonly PolynomialCalibration Bent = new(new FieldPolynomial(
        3, 50_000, [25, 50_250, -150, 60, -40, 30, 80, -20, 35, -50], [-40, 150, 49_900, -30, 55, 20, 10, 45, -25, 70]));

    // Position → code right to under 0.01 code, for every resolution: the code lands, to that part of a step, at the place.
    [Theory]
    [InlineData(12)]
    [InlineData(16)]
    [InlineData(20)]
    public void A_place_is_solved_to_a_hundredth_of_a_code(int bits)
    {
        DacMapping mapping = Mapping(bits);
        for (int i = -4; i <= 4; i++)
        {
            for (int j = -4; j <= 4; j++)
            {
                (double codeX, double codeY) = mapping.CodesAt(i * 10_000_000_000L, j * 10_000_000_000L);
                (double x, double y) = mapping.PlaceOf(codeX, codeY);
                Assert.Equal(i * 10_000.0, x, 0.01 * Math.Abs(mapping.NanometresPerCodeX));
                Assert.Equal(j * 10_000.0, y, 0.01 * Math.Abs(mapping.NanometresPerCodeY));
            }
        }
    }

    [Theory]
    [InlineData(-30, 30, 30, 30)]
    [InlineData(30, -30, 30, 30)]
    [InlineData(30, 30, -30, 29)]
    public void A_straight_line_follows_the_bend_and_keeps_points_and_ticks(int startX, int startY, int endX, int endY)
    {
        ScaleOptions options = ScaleCase.Options with { Deflection = ScaleCase.Options.Deflection with { Calibration = Bent } };
        const long micrometre = 1_000_000_000;
        var line = Stroke.Line(0, startX * micrometre, startY * micrometre, endX * micrometre, endY * micrometre, 8001, 800_100_000_000);
        DeflectionRecord[] exposing = Exposing(options, line);
        Assert.True(exposing.Length > 4, $"{exposing.Length} runs");
        Assert.Equal(8001, exposing.Sum(r => r.Points));
        Assert.Equal(Exposing(ScaleCase.Options, line).Sum(r => r.Ticks), exposing.Sum(r => r.Ticks));

        // Half a code of rounding at each run's ends, half in between, a quarter of bend.
        var mapping = new DacMapping(options.Dac, options.Deflection);
        int point = 0;
        foreach (DeflectionRecord run in exposing)
        {
            for (int i = 0; i < run.Points; i++, point++)
            {
                (double x, double y) = mapping.CodesAt(line.XFemtometres + (line.EndXFemtometres - line.XFemtometres) / 8000 * point, line.YFemtometres + (line.EndYFemtometres - line.YFemtometres) / 8000 * point);
                Assert.InRange(Follow(run.X, run.EndX, i, run.Points) - x, -1.25, 1.25);
                Assert.InRange(Follow(run.Y, run.EndY, i, run.Points) - y, -1.25, 1.25);
            }
        }
    }

    /// <summary>One bent line after another: each is written as it would be alone.</summary>
    [Fact]
    public void Every_bent_line_is_divided_by_itself()
    {
        ScaleOptions options = ScaleCase.Options with { Deflection = ScaleCase.Options.Deflection with { Calibration = Bent } };
        const long micrometre = 1_000_000_000;
        Stroke[] lines =
        [
            Stroke.Line(0, -30 * micrometre, 30 * micrometre, 30 * micrometre, 30 * micrometre, 8001, 800_100_000_000),
            Stroke.Line(0, 30 * micrometre, -30 * micrometre, 30 * micrometre, 30 * micrometre, 4001, 400_100_000_000),
        ];
        static (int, int, int, int, int) Course(DeflectionRecord run) => (run.X, run.Y, run.EndX, run.EndY, run.Points);
        Assert.Equal(lines.SelectMany(line => Exposing(options, line)).Select(Course), Exposing(options, lines).Select(Course));
    }

    [Fact]
    public void A_place_beyond_the_calibrated_area_is_an_error()
    {
        ScaleOptions options = ScaleCase.Options with
        {
            Deflection = ScaleCase.Options.Deflection with { Calibration = new PolynomialCalibration(Bent.Polynomial with { HalfFieldNanometres = 20_000, XNanometres = [0, 20_000, 0, 0, 0, 0, 0, 0, 0, 0], YNanometres = [0, 0, 20_000, 0, 0, 0, 0, 0, 0, 0] }) },
        };
        var error = Assert.Throws<CompileException>(() => ScaleCase.Scale(options, Stroke.Jump(3, 25_000_000_000, 0)));
        Assert.Equal(
            "figure 3 at (25, 0) um: error PC1404: (25, 0) um lies outside the area in which the field was calibrated; move or shrink the drawing, or measure marks over a larger part of the field",
            error.Message);
    }

    [Fact]
    public void A_nonlinear_converter_is_given_the_code_whose_output_is_right()
    {
        var linearity = new CodeLinearity([(0, 0), (32767, 3), (32768, 2.5), (65535, 0)]);
        Deflection plain = ScaleCase.Options.Deflection;
        DacMapping ideal = new(ScaleCase.Options.Dac, plain);
        DacMapping corrected = new(ScaleCase.Options.Dac, plain with { LinearityX = linearity });
        (double idealX, double idealY) = ideal.CodesAt(-3_000_000_000, 5_000_000_000);
        (double x, double y) = corrected.CodesAt(-3_000_000_000, 5_000_000_000);
        Assert.Equal(idealX, linearity.OutputOf(x), 1e-9);
        Assert.Equal(idealY, y);
        Assert.False(corrected.KeepsLinesStraight);
    }

    private static DacMapping Mapping(int bits) => new(
        ScaleCase.Options.Dac with { Bits = bits }, ScaleCase.Options.Deflection with { Calibration = Bent });

    private static DeflectionRecord[] Exposing(ScaleOptions options, params Stroke[] lines) =>
        [.. ScaleCase.Scale(options, [.. lines.SelectMany(line => new[] { Stroke.Jump(0, line.XFemtometres, line.YFemtometres), line })]).Where(r => r.Points > 0)];

    // The rule of the records document: the exact position rounded half up.
    private static int Follow(int start, int end, int i, int points) =>
        points == 1 ? start : start + (int)Math.Floor((2.0 * i * (end - start) + points - 1) / (2.0 * (points - 1)));
}
