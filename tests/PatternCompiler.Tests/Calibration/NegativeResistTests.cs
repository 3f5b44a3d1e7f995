using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Calibration.DoseToSize;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Tests.Calibration;

/// <summary>Fits, plots and messages about a negative resist: it gels, stands and remains; nothing clears.</summary>
public class NegativeResistTests
{
    private static readonly SpreadFunction Spread = SpreadFunction.TwoGaussian(60, 4000, 0.74);
    private static readonly DoseFeature Square = new(DoseFeatureKind.Square, 12_000, 12_000, 1, 0, double.PositiveInfinity);
    private static readonly DoseFeature Bar = new(DoseFeatureKind.Bar, 300, 10_000, 1, 0, double.PositiveInfinity);
    private static readonly double[] Doses = [40, 50, 60, 70, 80, 90, 100, 110, 120, 140, 160];

    [Fact]
    public void Fragment_of_a_contrast_curve() => Assert.Equal(
        """
        # contrast curve: 150 nm of resist, rms residual 0.4376% of the thickness
        # contrast: 4.61, standard error 0.05195, 95% from 4.49 to 4.73
        # gel-dose: 71.92 uC/cm2, standard error 0.2316 uC/cm2, 95% from 71.38 to 72.44 uC/cm2
        # retention-dose: 118.5 uC/cm2, standard error 0.3757 uC/cm2, 95% from 117.7 to 119.4 uC/cm2
        # thickness: 150 nm, standard error 0.4474 nm, 95% from 149 to 151 nm
        # a base dose ('dose.area') of 184.7 uC/cm2 prints edges of large areas where they are drawn
        resist:
          tone: negative
          gel: 71.92 uC/cm2
          retention: 118.5 uC/cm2
          thickness: 150 nm
        """, FitText.Of(Contrast(Doses)).TrimEnd());

    [Fact]
    public void Fragment_of_a_dose_test()
    {
        DoseReading[] readings = [.. Squares(Doses), .. Widths(90)];
        DoseFit fit = Fit(readings);
        Assert.Equal(
            """
            # dose to size: 4 widths, rms residual 0.3519 nm; edges print where half of the film remains
            # threshold: 90.33 uC/cm2, standard error 0.452 uC/cm2, 95% from 88.89 to 91.77 uC/cm2
            # base-dose: 180.7 uC/cm2, standard error 0.904 uC/cm2, 95% from 177.8 to 183.5 uC/cm2
            # bias: 5.629 nm, standard error 0.5229 nm, 95% from 3.984 to 7.312 nm
            # feature               dose factor  printed - drawn at factor 1
            # edge of a large area            1  0 nm, holds
            # square 12000 nm             1.015  -2.6 nm, holds
            # bar 300 nm                  1.648  -85.2 nm
            # all of them hold in a job with:
            #   correct: {target: edge}
            #   bias: -5.6 nm
            dose:
              area: 180.7 uC/cm2
            resist:
              tone: negative
              gel: 70.37 uC/cm2
              retention: 116 uC/cm2
              thickness: 150 nm
            """, FitText.Of(fit).TrimEnd());
        Assert.Equal("threshold 90.3 (88.9 to 91.8) µC/cm² · base dose 181 (178 to 184) µC/cm² · bias 5.63 (3.98 to 7.31) nm", DosePlot.Compose(fit, readings, Spread).Facts);
        AssertCurves(DosePlot.Compose(fit, readings, Spread), fit, readings);
    }

    [Fact]
    public void Fragment_and_plot_of_squares_that_stand_or_not()
    {
        DoseReading[] readings = [.. Doses.Select(dose => Verdict(dose, dose > 85))];
        DoseFit fit = Fit(readings);
        Assert.Equal(
            """
            # dose to size: squares alone; edges print where half of the film remains
            # threshold: 82.45 uC/cm2, standard error 2.803 uC/cm2, 95% from 77.73 to 87.45 uC/cm2
            # base-dose: 164.9 uC/cm2, standard error 5.607 uC/cm2, 95% from 155.5 to 174.9 uC/cm2
            # the ends are the last square that did not print and the first that did
            # bias: not told, for no widths were measured
            # feature               dose factor  printed - drawn at factor 1
            # edge of a large area            1  0 nm, holds
            # square 12000 nm             1.015  -2.6 nm, holds
            # all of them hold in a job with:
            #   correct: {target: edge}
            dose:
              area: 164.9 uC/cm2
            # resist: the geometric mean of 'gel' and 'retention' is 82.45 uC/cm2; 'patternc fit contrast' tells the rest from thicknesses
            """, FitText.Of(fit).TrimEnd());
        Plot plot = DosePlot.Compose(fit, readings, Spread);
        Assert.Equal(("squares of a dose test", "stands (1) or not (0)"), (plot.Title, plot.Y.Label));
        Assert.Equal(
            readings.Select(reading => (Math.Round(reading.Dose * Square.MiddleEnergy(Spread), 9), reading.Dose > 85 ? 1.0 : 0.0)),
            Assert.Single(plot.Series).Points.Select(point => (Math.Round(point.X, 9), point.Y)));
    }

    [Fact]
    public void Refusals()
    {
        Assert.Equal(
            "error PC4043: every square stands, down to 38.866 uC/cm2 in its middle: the threshold lies somewhere below; write the test again with smaller doses, or add widths of bars and gaps",
            Message(() => Fit([.. Doses.Select(dose => Verdict(dose, true))])));
        Assert.Equal(
            "error PC4043: no square stands, up to 155.465 uC/cm2 in its middle: the threshold lies somewhere above; write the test again with larger doses, or add widths of bars and gaps",
            Message(() => Fit([.. Doses.Select(dose => Verdict(dose, false))])));
        Assert.Equal(
            "error PC4072: squares stand at low doses and not at high ones, as those of a positive resist; state --tone positive, or look for a column with yes and no exchanged",
            Message(() => Fit([.. Doses.Select(dose => Verdict(dose, dose < 85))])));
        Assert.Equal(
            "error PC4073: a square of 106.882 uC/cm2 in its middle does not stand, but one of 87.449 uC/cm2 does; look again at the squares between them, or leave those out that were damaged",
            Message(() => Fit([.. Doses.Select(dose => Verdict(dose, dose > 85 != (dose == 110)))])));
        Assert.Equal(
            "error PC4003: no dose changes even half of the resist (largest dose 80 uC/cm2); add larger doses, until the resist is whole",
            Message(() => Contrast([.. Doses.Where(dose => dose < 90)], 150)));
        var sink = new DiagnosticSink();
        ContrastFitter.Fit([60, 80, 120], [50, 100, 150], null, ResistTone.Negative, sink);
        Assert.Equal("warning PC4006: there are as many parameters as measurements, so the contrast has no error estimate; repeat the test with smaller dose steps around the retention dose", Assert.Single(sink.Collected).ToString());
    }

    /// <summary>Of each feature its readings, and in the same hue what the fit says from end to end of the axis, in 1:1 steps of the logarithm.</summary>
    private static void AssertCurves(Plot plot, DoseFit fit, IReadOnlyList<DoseReading> readings)
    {
        IGrouping<DoseFeature, DoseReading>[] groups = [.. readings.Where(reading => !double.IsNaN(reading.WidthNanometres)).GroupBy(reading => reading.Feature)];
        Assert.Equal(2 * groups.Length, plot.Series.Length);
        for (int i = 0; i < groups.Length; i++)
        {
            (DoseFeature feature, PlotSeries dots, PlotSeries curve) = (groups[i].Key, plot.Series[2 * i], plot.Series[2 * i + 1]);
            Assert.Equal((feature.Name, "", i, i), (dots.Name, curve.Name, dots.Hue, curve.Hue));
            Assert.Equal(groups[i].Select(reading => (reading.Dose, reading.WidthNanometres - feature.DrawnNanometres)), dots.Points);
            Assert.Equal(plot.X.Low, curve.Points[0].X, 1e-9);
            Assert.Equal(plot.X.High, curve.Points[^1].X, 1e-9);
            Assert.Equal(Math.Log(curve.Points[1].X / curve.Points[0].X), Math.Log(curve.Points[^1].X / curve.Points[^2].X), 1e-9);
            Assert.All(curve.Points, point => Assert.Equal((fit.WidthAt(feature, point.X, Spread) ?? double.NaN) - feature.DrawnNanometres, point.Y));
        }
    }

    private static string Message(Action fit) => Assert.Throws<CompileException>(fit).Message;

    private static DoseFit Fit(IReadOnlyList<DoseReading> readings) => DoseFitter.Fit(readings, Spread, 0, ResistTone.Negative, new DiagnosticSink());

    private static ContrastFit Contrast(double[] doses, double? thickness = null) =>
        ContrastFitter.Fit(doses, [.. Squares(doses).Select(square => square.ThicknessNanometres)], thickness, ResistTone.Negative, new DiagnosticSink());

    // A film that gels at 70 and is whole from 115 uC/cm2 on, read to 1 nm.
    private static IEnumerable<DoseReading> Squares(double[] doses) => doses.Select((dose, i) =>
        new DoseReading(Square, dose, double.NaN, Math.Max(0, (150 * new ResistResponse(ResistTone.Negative, 0.7, 1.15).RemainingFraction(dose * Square.MiddleEnergy(Spread) / 100)) + (i % 3) - 1), null));

    private static IEnumerable<DoseReading> Widths(double threshold) =>
        ((double[])[180, 200, 220, 250]).Select((dose, i) => new DoseReading(Bar, dose, Bar.PrintedWidth(Spread, threshold / dose)!.Value + (2 * 5) + (i % 2), double.NaN, null));

    private static DoseReading Verdict(double dose, bool stands) => new(Square, dose, double.NaN, double.NaN, stands);
}
