using System.Collections.Immutable;
using PatternCompiler.Calibration.BlankerDelay;
using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Calibration.Field;
using PatternCompiler.Calibration.Spread;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Tests.Calibration;

public class FitPlotTests
{
    [Theory]
    [InlineData(ResistTone.Positive, "contrast 1.8 (1.76 to 1.84) · onset dose 116 (114 to 118) µC/cm² · clearing dose 417 (412 to 422) µC/cm²")]
    [InlineData(ResistTone.Negative, "contrast 1.8 (1.76 to 1.84) · gel dose 116 (114 to 118) µC/cm² · retention dose 417 (412 to 422) µC/cm²")]
    public void A_contrast_curve_shows_data_fit_and_a_band_around_it(ResistTone tone, string facts)
    {
        double[] doses = [50, 100, 150, 200, 250, 300, 350, 400, 450, 500];
        double[] thicknesses = [200, 200, 160, 115, 80, 50, 30, 5, 0, 0];
        double[] shown = [.. thicknesses.Select(t => tone == ResistTone.Positive ? t : 200 - t)];
        ContrastFit fit = ContrastFitter.Fit(doses, shown, 200, tone, new DiagnosticSink());
        Plot plot = ContrastPlot.Compose(fit, doses, shown);
        Assert.Equal($"contrast curve of a {(tone == ResistTone.Positive ? "positive" : "negative")} resist", plot.Title);
        Assert.Equal(facts, plot.Facts);
        Assert.Equal("remaining thickness (nm)", plot.Y.Label);
        Assert.Equal([("95 % confidence", 3), ("", 3), ("fit", 1), ("measured", 0)], plot.Series.Select(series => (series.Name, series.Hue)));
        Assert.Equal(doses.Zip(shown).ToArray(), Series(plot, "measured").ToArray());
        Assert.Contains(Series(plot, "fit"), p => p.X == fit.Onset.Value);

        // 241 places from end to end in equal ratios, and both kinks.
        double[] places = [.. Series(plot, "fit").Select(p => p.X)];
        Assert.Equal(243, places.Length);
        Assert.Equal((plot.X.Low, plot.X.High), (places[0], places[^1]), (a, b) => Math.Abs(a.Item1 / b.Item1 - 1) < 1e-9 && Math.Abs(a.Item2 / b.Item2 - 1) < 1e-9);
        Assert.Equal(Enumerable.Range(0, 241).Select(i => plot.X.Low * Math.Pow(plot.X.High / plot.X.Low, i / 240.0)), places.Where(place => place != fit.Onset.Value && place != fit.Clearing.Value), (a, b) => Math.Abs(a / b - 1) < 1e-9);
        Assert.All(Series(plot, "fit"), p => Assert.Equal(200 * fit.RemainingFraction(p.X), p.Y, 9));
        double[] below = [.. plot.Series[0].Points.Select(p => p.Y)];
        double[] above = [.. plot.Series[1].Points.Select(p => p.Y)];
        Assert.All(below.Zip(above), p => Assert.True(p.First < p.Second));
        Assert.Equal(fit.Onset.Value, plot.Series[0].Points[0].X, 9);
        Assert.Equal(fit.Clearing.Value, plot.Series[0].Points[^1].X, 9);
    }

    [Fact]
    public void A_dot_test_shows_a_curve_through_its_dots()
    {
        double[] radii = [15, 25, 40, 60, 90, 150, 300, 600, 1000, 1500, 2200, 3000, 4000];
        double[] charges = [.. radii.Select((r, i) => (1 + 0.02 * (i % 3)) / Spread(r))];
        SpreadFit fit = SpreadFitter.Fit(charges, radii, 0, new DiagnosticSink());
        Plot plot = SpreadPlot.Compose(fit, charges, radii);
        Assert.True(plot.X.IsLogarithmic && plot.Y.IsLogarithmic);
        Assert.Equal([("95 % confidence", 3), ("", 3), ("fit", 1), ("measured", 0)], plot.Series.Select(series => (series.Name, series.Hue)));
        Assert.All(Series(plot, "fit"), p => Assert.Equal(1, fit.ChargeForRadius(p.Y) / p.X, 9));
        Assert.All(plot.Series[0].Points.Zip(plot.Series[1].Points), p => Assert.True(p.First.Y < p.Second.Y));
        Assert.All(charges, charge => Assert.InRange(charge, plot.X.Low, plot.X.High));

        double Spread(double r) => Math.Exp(-r * r / 900) / 900 + 0.74 * Math.Exp(-r * r / 4e6) / 4e6;
    }

    [Fact]
    public void Two_speeds_give_lines_without_a_band()
    {
        BlankerDelayFit fit = BlankerDelayFitter.Fit([100, 200], [50, 100], [20, 40], new DiagnosticSink());
        Plot plot = BlankerDelayPlot.Compose(fit, [100, 200], [50, 100], [20, 40]);
        Assert.Equal("off 0.5 µs · on 0.2 µs", plot.Facts);
        Assert.Equal([(100.0, 50.0), (200.0, 100.0)], Series(plot, "tail at the end").ToArray());
        Assert.Equal(fit.OffDelay.Value * plot.X.High, plot.Series[2].Points[^1].Y, 6);
        Assert.All(plot.Series[0].Points, p => Assert.True(double.IsNaN(p.Y)));
    }

    /// <summary>Bands lie as far below as above each line, by √(offset² + 2·v·covariance + v²·delay²) times 12.706, Student's t for one spare speed.</summary>
    [Fact]
    public void Lines_of_a_blanker_test_have_their_bands_on_both_sides()
    {
        var fit = new BlankerDelayFit(new("off", "us", 3, 0.2, 0, 0), new("on", "us", 2, 0.1, 0, 0), new("tail", "nm", 10, 5, 0, 0), new("head", "nm", -4, 3, 0, 0))
        {
            DegreesOfFreedom = 1, TailCovariance = -0.5, HeadCovariance = -0.2,
        };
        Plot plot = BlankerDelayPlot.Compose(fit, [10, 20, 40], [40, 70, 130], [16, 36, 76]);
        Assert.Equal("off 3 µs · on 2 µs", System.Text.RegularExpressions.Regex.Replace(plot.Facts, " \\([^)]*\\)", ""));
        Assert.Equal(
            ["95 % confidence 0", " 0", "fit 0", "tail at the end 0", "95 % confidence 1", " 1", "fit 1", "missing at the start 1"],
            plot.Series.Select(series => $"{series.Name} {series.Hue}"));
        Assert.All(new[] { plot.X, plot.Y }, axis => Assert.InRange(0, axis.Low, axis.High));
        Assert.InRange(plot.Y.High, 130, 200);
        AssertLine(0, v => 10 + 3 * v, v => Math.Sqrt(25 - v + 0.04 * v * v));
        AssertLine(4, v => -4 + 2 * v, v => Math.Sqrt(9 - 0.4 * v + 0.01 * v * v));
        Assert.Equal([(10.0, 16.0), (20.0, 36.0), (40.0, 76.0)], plot.Series[7].Points.ToArray());

        void AssertLine(int first, Func<double, double> line, Func<double, double> error)
        {
            for (int i = 0; i <= 60; i++)
            {
                double v = plot.X.High * i / 60;
                Assert.Equal(v, plot.Series[first].Points[i].X, 9);
                Assert.Equal(line(v) - 12.7062 * error(v), plot.Series[first].Points[i].Y, 1e-3 * (1 + error(v)));
                Assert.Equal(line(v) + 12.7062 * error(v), plot.Series[first + 1].Points[i].Y, 1e-3 * (1 + error(v)));
                Assert.Equal(line(v), plot.Series[first + 2].Points[i].Y, 9);
            }
        }
    }

    [Fact]
    public void A_field_shows_arrows_before_and_after_the_fit_in_the_same_scale_of_both_axes()
    {
        // Marks that are stretched by 1 % in x and left by one of them 30 nm off: an affine fit leaves only that.
        FieldMark[] marks =
        [
            .. from y in new[] { -20_000.0, 0, 20_000 } from x in new[] { -40_000.0, -20_000, 0, 20_000, 40_000 }
               select new FieldMark(x, y, (x * 1.01) + (x == 0 && y == 0 ? 30 : 0), y),
        ];
        FieldFit fit = FieldFitter.Fit(marks, 1, 50_000);
        Plot plot = FieldResidualPlot.Compose(fit, marks);
        Assert.Equal(PlotRenderer.Shape, (plot.X.High - plot.X.Low) / (plot.Y.High - plot.Y.Low), 1e-9);
        PlotSeries before = plot.Series[0], after = plot.Series[1];
        Assert.Equal(("measured, 20 times", "left by the fit, 500 times"), (before.Name, after.Name));

        // Each arrow is a shaft, two barbs and a gap; the first mark moved by -400 nm, which 20 times is 8 um.
        Assert.Equal(marks.Length * 6, before.Points.Length);
        Assert.Equal((-40.0, -20.0), before.Points[0]);
        Assert.Equal(-48, before.Points[1].X, 9);
        Assert.Equal(-20, before.Points[1].Y, 9);
        int middle = 7 * 6;
        Assert.Equal(fit.Residuals[7].X * 500 / 1000, after.Points[middle + 1].X - after.Points[middle].X, 9);
        Assert.StartsWith("order 1 · 15 marks · largest deviation 400 nm, left 28 nm · ", plot.Facts, StringComparison.Ordinal);
    }

    /// <summary>
    /// Two marks 80 µm by 30 µm apart, off the middle, moved by (300, −400) nm and (0, 100) nm and left by (−6, 8) nm and (3, 0) nm. Barbs stand
    /// 28 % of the shaft behind its tip, half as far to either side.
    /// </summary>
    [Fact]
    public void Arrows_of_a_field_point_where_its_marks_went()
    {
        FieldMark[] marks = [new(10_000, 20_000, 10_300, 19_600), new(90_000, 50_000, 90_000, 50_100)];
        var fit = new FieldFit(new FieldPolynomial(1, 50_000, [0, 1, 2], [3, 4, 5]), [], [(-6, 8), (3, 0)], 3, 7.7, 10, 12.5);
        Plot plot = FieldResidualPlot.Compose(fit, marks);
        Assert.Equal("order 1 · 2 marks · largest deviation 500 nm, left 10 nm · rms left 7.7 nm · leave-one-out 12.5 nm", plot.Facts);
        Assert.Equal(["measured, 50 times", "left by the fit, 2000 times", "mark"], plot.Series.Select(series => series.Name));
        Assert.Equal([(10.0, 20.0), (90.0, 50.0)], plot.Series[2].Points.ToArray());
        Assert.Equal(50, (plot.X.Low + plot.X.High) / 2, 9);
        Assert.Equal(35, (plot.Y.Low + plot.Y.High) / 2, 9);
        Assert.Equal(80 * 1.2, plot.X.High - plot.X.Low, 9);

        // (15, −20) µm, and (0, 5) µm.
        AssertPoints([(10, 20), (25, 0), (25 - 0.28 * 25, 0.28 * 12.5), (25, 0), (25 - 0.28 * 5, 0.28 * 27.5)], plot.Series[0].Points[..5]);
        AssertPoints([(90, 50), (90, 55), (90.7, 53.6), (90, 55), (89.3, 53.6)], plot.Series[0].Points[6..11]);
        AssertPoints([(10, 20), (-2, 36)], plot.Series[1].Points[..2]);
        AssertPoints([(90, 50), (96, 50)], plot.Series[1].Points[6..8]);
        Assert.True(double.IsNaN(plot.Series[0].Points[5].X) && double.IsNaN(plot.Series[0].Points[11].Y));

        static void AssertPoints((double X, double Y)[] expected, ImmutableArray<(double X, double Y)> points) => Assert.All(
            expected.Zip(points), pair => Assert.Equal((0.0, 0.0), (Math.Round(pair.First.X - pair.Second.X, 6), Math.Round(pair.First.Y - pair.Second.Y, 6))));
    }

    private static ImmutableArray<(double X, double Y)> Series(Plot plot, string name) => plot.Series.First(s => s.Name == name).Points;
}
