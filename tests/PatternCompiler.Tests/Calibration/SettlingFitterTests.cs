using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Diagnostics;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Tests.Calibration;

public class SettlingFitterTests
{
    private static readonly double[] Jumps = [10_000, 20_000, 40_000, 80_000, 10_000, 20_000, 40_000, 80_000];
    private static readonly double[] Waits = [4, 4, 4, 4, 12, 12, 16, 24];

    [Theory]
    [InlineData(4.0, 0.0)]
    [InlineData(2.5, 1.5)]
    [InlineData(30.0, -2.0)]
    public void Exact_measurements_give_the_exact_parameters(double timeConstant, double deadTime)
    {
        SettlingFit fit = SettlingFitter.Fit(Jumps, Waits, [.. Jumps.Zip(Waits, (j, t) => j * Math.Exp(-(t - deadTime) / timeConstant))], new DiagnosticSink());
        Assert.Equal(timeConstant, fit.TimeConstant.Value, timeConstant * 1e-9);
        Assert.Equal(deadTime, fit.DeadTime.Value, timeConstant * 1e-9);
        Assert.Equal(0, fit.RootMeanSquareNanometres, 1e-6);

        // After the wait that it asks for, as much is left as was allowed.
        Assert.Equal(10, 80_000 * fit.Left(fit.WaitFor(80_000, 10)), 1e-6);
        Assert.Equal(0, fit.WaitFor(5, 10));
    }

    /// <summary>What is left is told as the root of the mean square of all bars.</summary>
    [Fact]
    public void The_root_mean_square_is_that_of_what_the_curve_leaves()
    {
        double[] displacements = [.. Jumps.Zip(Waits, (j, t) => j * Math.Exp(-t / 4) + (j > 30_000 ? 7 : -11))];
        SettlingFit fit = SettlingFitter.Fit(Jumps, Waits, displacements, new DiagnosticSink());
        double squares = Enumerable.Range(0, 8).Sum(i => Math.Pow(displacements[i] - Jumps[i] * fit.Left(Waits[i]), 2));
        Assert.Equal(Math.Sqrt(squares / 8), fit.RootMeanSquareNanometres, 1e-6);
        Assert.Equal(6, fit.DegreesOfFreedom);
    }

    /// <summary>Waits a thousand times as long, or a thousandth: all times are, too, with the ends of their intervals.</summary>
    [Theory]
    [InlineData(1000)]
    [InlineData(0.001)]
    public void Times_go_with_their_unit(double unit)
    {
        double[] displacements = [.. Jumps.Zip(Waits, (j, t) => j * Math.Exp(-(t - 1.5) / 4) + (j > 30_000 ? 300 : -200))];
        SettlingFit here = SettlingFitter.Fit(Jumps, Waits, displacements, new DiagnosticSink());
        SettlingFit there = SettlingFitter.Fit(Jumps, [.. Waits.Select(t => t * unit)], displacements, new DiagnosticSink());
        Assert.All(
            new[] { (here.TimeConstant, there.TimeConstant), (here.DeadTime, there.DeadTime) },
            pair => Assert.All(
                new[] { (pair.Item1.Value, pair.Item2.Value), (pair.Item1.Low, pair.Item2.Low), (pair.Item1.High, pair.Item2.High), (pair.Item1.StandardError, pair.Item2.StandardError) },
                times => Assert.Equal(times.Item1, times.Item2 / unit, 1e-3 * here.TimeConstant.StandardError)));
    }

    [Fact]
    public void Bars_that_are_not_displaced_count_too()
    {
        double[] displacements = [.. Jumps.Zip(Waits, (j, t) => Math.Round(j * Math.Exp(-t / 1.5)))];
        Assert.Contains(0, displacements);
        SettlingFit fit = SettlingFitter.Fit(Jumps, Waits, displacements, new DiagnosticSink());
        Assert.Equal(1.5, fit.TimeConstant.Value, 0.01);
    }

    [Theory]
    [InlineData("0 0 0 0 0 0 0 0", "PC4003: 0 of 8 bars are displaced, which tells nothing of how the displacement falls; write the target with shorter waits, too")]
    [InlineData("1 2 4 8 10 20 40 80", "PC4003: the displacements do not fall with the wait (measurement 8, wait 24 us and displacement 80 nm, stands most against a displacement that falls with the wait); write the target with waits that are further apart, and look for a misread line")]
    public void What_says_nothing_about_settling_is_refused(string displacements, string message)
    {
        CompileException failure = Assert.Throws<CompileException>(() => SettlingFitter.Fit(
            Jumps, Waits, [.. displacements.Split(' ').Select(text => (double)int.Parse(text, System.Globalization.CultureInfo.InvariantCulture))], new DiagnosticSink()));
        Assert.Equal("error " + message, failure.Diagnostic.ToString());
    }

    /// <summary>Displacements that fall with the wait, but not with the jump as well, leave more than half of themselves.</summary>
    [Fact]
    public void Displacements_of_another_kind_are_refused_with_how_much_is_left() => Assert.Matches(
        "^error PC4007: no settling describes these displacements: the best leaves [5-9][0-9] % of them \\(root mean square\\), more than 50 % \\(measurement [1-4], wait 4 us and displacement [0-9]+ nm, stands most against ",
        Assert.Throws<CompileException>(() => SettlingFitter.Fit(Jumps, Waits, [9000, 900, 90, 9, 8, 7, 6, 5], new DiagnosticSink())).Message);

    /// <summary>Two bars at each wait, so much above and below the curve: of their squares the curve leaves u²/(1 + u²).</summary>
    [Theory]
    [InlineData(0.55, null)] // 48 %
    [InlineData(0.6, "51 %")]
    [InlineData(0.8, "62 %")]
    public void A_curve_leaves_at_most_a_half(double apart, string? left)
    {
        double[] waits = [2, 2, 4, 4, 7, 7, 12, 12];
        double[] displacements = [.. waits.Select((wait, i) => 9000 * Math.Exp(-wait / 4) * (i % 2 == 0 ? 1 + apart : 1 - apart))];
        string message = Record.Exception(() => SettlingFitter.Fit([.. Enumerable.Repeat(9000.0, 8)], waits, displacements, new DiagnosticSink()))?.Message ?? "";
        Assert.StartsWith(left is null ? "" : $"error PC4007: no settling describes these displacements: the best leaves {left} of them (root mean square), more than 50 % (", message, StringComparison.Ordinal);
        Assert.Equal(left is null, message.Length == 0);
    }

    /// <summary>Ten thousand bars are still fitted, one more is not.</summary>
    [Theory]
    [InlineData(10_000, "PC4003")]
    [InlineData(10_001, "PC4001")]
    public void Numbers_of_bars_are_bounded(int count, string code) => Assert.Equal(
        code,
        Assert.Throws<CompileException>(() => SettlingFitter.Fit([.. Enumerable.Repeat(1e4, count)], [.. Enumerable.Range(1, count).Select(i => (double)i)], new double[count], new DiagnosticSink())).Diagnostic.Code.Id);

    [Fact]
    public void One_wait_with_a_displacement_is_not_enough()
    {
        CompileException failure = Assert.Throws<CompileException>(() => SettlingFitter.Fit([10_000, 20_000, 20_000], [5, 5, 10], [100, 200, -1], new DiagnosticSink()));
        Assert.Equal(
            "error PC4003: bars are displaced after a single wait, 5 us, which tells nothing of how the displacement falls; write the target with waits close to that one, too, for example after 4.5, 5.5 and 6.1 us",
            failure.Diagnostic.ToString());

        // The bar that is displaced most says when it all falls: 5 us over ln 50.
        Assert.EndsWith(
            "for example after 4.4, 5.6 and 6.3 us",
            Assert.Throws<CompileException>(() => SettlingFitter.Fit([10_000, 10_000, 20_000], [5, 5, 10], [100, 200, -1], new DiagnosticSink())).Message,
            StringComparison.Ordinal);
    }

    [Fact]
    public void The_fragment_and_the_plot_show_the_fit()
    {
        SettlingFit fit = SettlingFitter.Fit(Jumps, Waits, [.. Jumps.Zip(Waits, (j, t) => j * Math.Exp(-t / 4) + (j > 30_000 ? 1 : -1))], new DiagnosticSink());
        string[] lines = FitText.Of(fit, Jumps, 5).Split('\n');
        Assert.StartsWith("# time-constant: 4", lines[1], StringComparison.Ordinal);
        Assert.Equal("settle:", lines[3]);
        Assert.Equal(4, lines.Count(line => line.StartsWith("    - [", StringComparison.Ordinal)));
        Plot plot = SettlingPlot.Compose(fit, Jumps, Waits, [0, .. Enumerable.Repeat(100.0, 7)]);
        Assert.Equal("settling after a jump", plot.Title);
        Assert.Equal(7, plot.Series.Single(series => series.Name == "measured").Points.Length);
    }

    /// <summary>A half is left at no wait and e times less every 10 µs: 500 nm per µm of the jump, and 500/e at 10 µs. The band is e^±(t · 0.1) wide there.</summary>
    [Fact]
    public void The_plot_shows_what_is_left_of_a_micrometre()
    {
        var fit = new SettlingFit(new("time constant", "us", 10, 0.5, 9, 11), new("dead time", "us", -6.93, 0.3, -7.5, -6.3))
        {
            DegreesOfFreedom = 1,
            Line = (Math.Log(0.5), 0.1),
            LogCovariance = (0, 0.01, 0),
        };
        Plot plot = SettlingPlot.Compose(fit, [2000, 4000, 8000], [0, 10, 20], [900, 0, 100]);
        Assert.Equal("time constant 10 (9 to 11) µs · dead time -6.93 (-7.5 to -6.3) µs", plot.Facts);
        Assert.Equal(["95 % confidence", "", "fit", "measured"], plot.Series.Select(series => series.Name));
        Assert.Equal([(0.0, 450.0), (20.0, 12.5)], plot.Series[3].Points.ToArray());
        Assert.All(plot.Series[..3], series => Assert.Equal((101, plot.X.Low, plot.X.High), (series.Points.Length, series.Points[0].X, series.Points[^1].X)));
        for (int i = 0; i <= 100; i++)
        {
            (double wait, double left) = plot.Series[2].Points[i];
            Assert.Equal(plot.X.Low + (plot.X.High - plot.X.Low) * i / 100, wait, 9);
            Assert.Equal(500 * Math.Exp(-wait / 10), left, 6);
            double band = Math.Exp(fit.LogBandHalfWidth(wait));
            Assert.Equal((Math.Round(left / band, 6), Math.Round(left * band, 6)), (Math.Round(plot.Series[0].Points[i].Y, 6), Math.Round(plot.Series[1].Points[i].Y, 6)));
        }
    }
}
