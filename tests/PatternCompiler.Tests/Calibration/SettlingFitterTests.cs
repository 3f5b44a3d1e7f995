using PatternCompiler.BackEnds.Picture.Plots;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Diagnostics;

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

    [Fact]
    public void One_wait_is_not_enough()
    {
        CompileException failure = Assert.Throws<CompileException>(() => SettlingFitter.Fit([10_000, 20_000], [5, 5], [100, 200], new DiagnosticSink()));
        Assert.Equal("PC4004", failure.Diagnostic.Code.Id);
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
}
