using PatternCompiler.Calibration;
using PatternCompiler.Calibration.BlankerDelay;
using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Calibration.DoseToSize;
using PatternCompiler.Calibration.Field;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Calibration.Spread;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Calibration;

/// <summary>Whole fragments as they are printed, of fits whose every number is another.</summary>
public sealed class FitTextTests
{
    private const double Infinite = double.PositiveInfinity;

    private static readonly FitParameter Onset = new("onset", "uC/cm2", 116.04, 1.2345, 113.6, 118.5);
    private static readonly FitParameter Clearing = new("clearing", "uC/cm2", 417.26, 3.456, 410.3, 424.2);
    private static readonly FitParameter Contrast = new("contrast", "", 1.79871, 0.019, 1.76, 1.84);
    private static readonly FitParameter Thickness = new("thickness", "nm", 201.37, 1.1, 199, 203.5);

    /// <summary>An interval may be known, unknown, open to one side or to both.</summary>
    [Theory]
    [InlineData(2.5, 65, 75, "standard error 2.5 nm, 95% from 65 to 75 nm")]
    [InlineData(double.NaN, double.NaN, double.NaN, "error unknown (no spare measurement)")]
    [InlineData(2.5, -Infinite, Infinite, "95%: any value would fit")]
    [InlineData(2.5, 65, Infinite, "95% from 65 nm without an upper limit")]
    [InlineData(2.5, -Infinite, 75, "95% up to 75 nm without a lower limit")]
    public void Comments_say_what_is_known_of_the_error(double error, double low, double high, string told)
    {
        var fit = new SpreadFit(
            new FitParameter("forward", "nm", 70, error, low, high), new FitParameter("backscatter", "nm", 4012.34, 50, 3900, 4100), new FitParameter("ratio", "", 0.74, 0.02, 0.7, 0.78), 0.0123, -3)
        {
            SpotNanometres = 20,
        };
        Assert.Equal(
            $"""
            # two-Gaussian spread: rms residual 1.23% of the radius; the spot of 20 nm is taken out
            # forward: 70 nm, {told}
            # backscatter: 4012 nm, standard error 50 nm, 95% from 3900 to 4100 nm
            # ratio: 0.74, standard error 0.02, 95% from 0.7 to 0.78
            spread:
              forward: 70 nm  # alpha
              backscatter: 4012 nm  # beta
              ratio: 0.74  # eta

            """,
            FitText.Of(fit));
    }

    /// <summary>
    /// The base dose is twice what prints: of a positive resist the clearing dose, of a negative one the dose of half the
    /// thickness, which on a logarithmic slope is the geometric mean, √(116.04 · 417.26) = 220.04. Four digits are printed.
    /// </summary>
    [Theory]
    [InlineData(ResistTone.Positive, true, "834.5", "positive", "onset", "clearing")]
    [InlineData(ResistTone.Positive, false, "834.5", "positive", "onset", "clearing")]
    [InlineData(ResistTone.Negative, false, "440.1", "negative", "gel", "retention")]
    public void Contrast_curve(ResistTone tone, bool isGiven, string dose, string word, string first, string last)
    {
        var fit = new ContrastFit(tone, Onset, Clearing, Contrast, Thickness, 0.02) { IsThicknessGiven = isGiven };
        string[] lines = FitText.Of(fit).Split('\n');
        string[] expected =
        [
            $"# contrast curve: 201.4 nm of resist{(isGiven ? ", as stated" : "")}, rms residual 2% of the thickness",
            "# contrast: 1.799, standard error 0.019, 95% from 1.76 to 1.84",
            "# onset: 116 uC/cm2, standard error 1.234 uC/cm2, 95% from 113.6 to 118.5 uC/cm2",
            "# clearing: 417.3 uC/cm2, standard error 3.456 uC/cm2, 95% from 410.3 to 424.2 uC/cm2",
            .. isGiven ? Array.Empty<string>() : ["# thickness: 201.4 nm, standard error 1.1 nm, 95% from 199 to 203.5 nm"],
            $"# a base dose ('dose.area') of {dose} uC/cm2 prints edges of large areas where they are drawn",
            "resist:",
            $"  tone: {word}",
            $"  {first}: 116 uC/cm2",
            $"  {last}: 417.3 uC/cm2",
            "  thickness: 201.4 nm",
            "",
        ];
        Assert.Equal(expected, lines);
    }

    [Fact]
    public void Blanker_delays()
    {
        var fit = new BlankerDelayFit(
            new("off delay", "us", 0.51239, 0.01, 0.49, 0.53), new("on delay", "us", 0.2, 0.02, 0.15, 0.25), new("tail at rest", "nm", 12, 1, 10, 14), new("head at rest", "nm", -7, 1, -9, -5));
        Assert.Equal(
            """
            # off delay: 0.5124 us, standard error 0.01 us, 95% from 0.49 to 0.53 us
            # on delay: 0.2 us, standard error 0.02 us, 95% from 0.15 to 0.25 us
            # tail at rest: 12 nm, standard error 1 nm, 95% from 10 to 14 nm
            # head at rest: -7 nm, standard error 1 nm, 95% from -9 to -5 nm
            # rise and fall times: not told; ends of lines show when the charge of an edge is through, not how it is spread. Mean currents tell them
            blanker:
              off_delay: 0.5124 us
              on_delay: 0.2 us

            """,
            FitText.Of(fit));
    }

    /// <summary>Waits by hand: half of a jump is left at no wait, and e times less every 10 µs; ln(½ · 10 000/5) · 10 µs = 69.08 µs.</summary>
    [Fact]
    public void Settling()
    {
        var fit = new SettlingFit(new("time constant", "us", 10, 0.5, 9, 11), new("dead time", "us", -6.93, 0.3, -7.5, -6.3))
        {
            RootMeanSquareNanometres = 1.23456,
            Line = (Math.Log(0.5), 0.1),
        };
        Assert.Equal(
            """
            # settling: rms residual 1.235 nm
            # time constant: 10 us, standard error 0.5 us, 95% from 9 to 11 us
            # dead time: -6.93 us, standard error 0.3 us, 95% from -7.5 to -6.3 us
            settle:
              time_constant: 10 us
              table:                              # jump and wait, until 5 nm are left
                - [0.004 um, 0 us]
                - [0.008 um, 0 us]
                - [1 um, 46.05 us]
                - [10 um, 69.08 us]

            """,
            FitText.Of(fit, [10_000, 1000, 4, 8, 1000], 5));
    }

    /// <summary>
    /// Halves of the last digit are rounded away from zero, biases from 0.05 nm on are told, and a width within 5 nm holds.
    /// </summary>
    [Theory]
    [InlineData(0.25, "#   bias: -0.3 nm\n")]
    [InlineData(-0.25, "#   bias: 0.3 nm\n")]
    [InlineData(0.05, "#   bias: -0.1 nm\n")]
    [InlineData(0.049, null)]
    public void Doses_of_features(double bias, string? told)
    {
        DoseFeature Bar(double width) => new(DoseFeatureKind.Bar, width, double.PositiveInfinity, 1, 0, double.PositiveInfinity);
        FeatureDose[] features = [new(Bar(50), 1.0625, 2.25), new(Bar(60), 0.9375, -5), new(Bar(70), 1.25, 5.125), new(Bar(80), 2, null)];
        var fit = new DoseFit(ResistTone.Positive, new("threshold", "uC/cm2", 120, 2, 116, 124), new("bias", "nm", bias, 0.5, -1, 1), 4, 1.5, [.. features]);
        string text = FitText.Of(fit);
        Assert.Equal(told ?? "", string.Concat(text.Split('\n').Where(line => line.StartsWith("#   bias:", StringComparison.Ordinal)).Select(line => line + "\n")));
        string[] rows = [.. text.Split('\n').SkipWhile(line => !line.StartsWith("# feature", StringComparison.Ordinal)).Skip(1).Take(5)];
        Assert.Equal(
            ["1  0 nm, holds", "1.063  2.3 nm, holds", "0.938  -5 nm, holds", "1.25  5.1 nm", "2  does not print by itself"],
            rows.Select((row, i) => row[(i == 0 ? row.IndexOf("  1  ", StringComparison.Ordinal) : 2 + features[i - 1].Feature.Name.Length)..].TrimStart()));
        Assert.All(rows.Skip(1), row => Assert.Equal(rows[0].IndexOf("  0 nm", StringComparison.Ordinal), new[] { "  2.3", "  -5 nm", "  5.1", "  does" }.Max(part => row.IndexOf(part, StringComparison.Ordinal))));
    }

    [Fact]
    public void Coefficients_are_rounded_to_thousandths()
    {
        var fit = new FieldFit(new FieldPolynomial(1, 25_000, [0.0625, 1000.0004, -0.0625], [-0.1875, 0.1875, 998]), [], [], 3, 1, 2, 3);
        Assert.EndsWith("      x: [0.063 nm, 1000 nm, -0.063 nm]\n      y: [-0.188 nm, 0.188 nm, 998 nm]\n", FitText.Of([fit], fit), StringComparison.Ordinal);
    }

    [Fact]
    public void Field_orders()
    {
        FieldFit first = Fit(1, [1, 1000.00049, -2, 3, 0, 0, 0, 0, 0, 0], [-4, 5, 998.5, 0, 0, 0, 0, 0, 0, 0], 12.34567, 30.1, double.NaN);
        FieldFit second = Fit(2, [1, 1000, -2, 3.25, 4.5, -5, 0, 0, 0, 0], [-4, 5, 998.5, 6, 7, 8, 0, 0, 0, 0], 1.5, 3, 2.25);
        Assert.Equal(
            """
            # order  terms  rms residual  largest  leave-one-out rms   (nm)
            #     1      6         12.35     30.1            unknown
            #     2     12           1.5        3               2.25   <- used
            # x of 1: 1 nm, standard error 0.1 nm, 95% from 0.8 to 1.2 nm
            deflection:
              calibration:
                polynomial:
                  order: 2
                  half_field: 25000 nm
                  x: [1 nm, 1000 nm, -2 nm, 3.25 nm, 4.5 nm, -5 nm]
                  y: [-4 nm, 5 nm, 998.5 nm, 6 nm, 7 nm, 8 nm]

            """,
            FitText.Of([first, second], second));
        Assert.Contains("x: [1 nm, 1000 nm, -2 nm]\n", FitText.Of([first, second], first), StringComparison.Ordinal);

        static FieldFit Fit(int order, double[] x, double[] y, double rms, double largest, double leaveOneOut)
        {
            int terms = FieldPolynomial.TermCount(order);
            return new(new FieldPolynomial(order, 25_000, [.. x[..terms]], [.. y[..terms]]), [new("x of 1", "nm", 1, 0.1, 0.8, 1.2)], [], 3, rms, largest, leaveOneOut);
        }
    }

    /// <summary>
    /// Bands by hand, with the 97.5 % point of Student's t for one degree of freedom, 12.706 (any table): variances 9 + 2·100·(−0.05) +
    /// 100²·0.04² = 15 nm² and 4 + 2·100·0.03 + 100²·0.02² = 14 nm².
    /// </summary>
    [Fact]
    public void Bands_of_blanker_delays_count_how_slope_and_offset_go_together()
    {
        var fit = new BlankerDelayFit(
            new("off", "us", 0.5, 0.04, 0, 1), new("on", "us", 0.2, 0.02, 0, 1), new("tail", "nm", 12, 3, 0, 20), new("head", "nm", 7, 2, 0, 20))
        {
            DegreesOfFreedom = 1,
            TailCovariance = -0.05,
            HeadCovariance = 0.03,
        };
        Assert.Equal(12.706 * Math.Sqrt(15), fit.BandHalfWidth(fit.OffDelay, fit.TailOffset, fit.TailCovariance, 100), 1e-2);
        Assert.Equal(12.706 * Math.Sqrt(14), fit.BandHalfWidth(fit.OnDelay, fit.HeadOffset, fit.HeadCovariance, 100), 1e-2);
    }

    /// <summary>
    /// The line's level is a logarithm at no wait, so d(log left) = (rate·wait − level)·d(log constant) + rate·d(dead): at 10 µs
    /// (1 − (−1))² · 0.01 + 2 · 2 · 0.1 · (−0.02) + 0.1² · 0.25 = 0.0345.
    /// </summary>
    [Fact]
    public void Bands_of_settling_count_how_constant_and_dead_time_go_together()
    {
        var fit = new SettlingFit(new("time constant", "us", 10, 0.5, 9, 11), new("dead time", "us", -10, 0.5, -11, -9))
        {
            DegreesOfFreedom = 1,
            Line = (-1, 0.1),
            LogCovariance = (0.01, 0.25, -0.02),
        };
        Assert.Equal(12.706 * Math.Sqrt(0.0345), fit.LogBandHalfWidth(10), 1e-3);
        Assert.Equal(Math.Exp(-2), fit.Left(10), 12);
    }
}
