using PatternCompiler.Calibration;
using PatternCompiler.Calibration.BlankerDelay;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Tests.Calibration;

public class BlankerDelayFitterTests
{
    [Fact]
    public void Delays_are_the_slopes_and_offsets_the_intercepts()
    {
        double[] speeds = [10, 20, 50, 100];
        BlankerDelayFit fit = BlankerDelayFitter.Fit(
            speeds, [.. speeds.Select(v => 12 + 3.5 * v)], [.. speeds.Select(v => 2.25 * v - 5)], new DiagnosticSink());
        Assert.Equal(3.5, fit.OffDelay.Value, 10);
        Assert.Equal(12, fit.TailOffset.Value, 9);
        Assert.Equal(2.25, fit.OnDelay.Value, 10);
        Assert.Equal(-5, fit.HeadOffset.Value, 9);
    }

    /// <summary>
    /// Errors by the textbook formulas of a straight line: with S = Σ(v − v̄)² the slope has s²/S, the intercept s²·(1/n + v̄²/S), and
    /// both together −s²·v̄/S, s² being the squares left over n − 2.
    /// </summary>
    [Fact]
    public void Errors_are_those_of_two_straight_lines()
    {
        double[] speeds = [10, 20, 50, 100, 130];
        double[] off = [0.7, -1.1, 0.4, 0.9, -0.6];
        double[] on = [-2, 1.5, 1, -3, 2];
        BlankerDelayFit fit = BlankerDelayFitter.Fit(
            speeds, [.. speeds.Zip(off, (v, e) => 12 + 3.5 * v + e)], [.. speeds.Zip(on, (v, e) => 2.25 * v - 5 + e)], new DiagnosticSink());
        Assert.Equal(3, fit.DegreesOfFreedom);
        AssertLine(off, 12, 3.5, fit.TailOffset, fit.OffDelay, fit.TailCovariance);
        AssertLine(on, -5, 2.25, fit.HeadOffset, fit.OnDelay, fit.HeadCovariance);

        void AssertLine(double[] errors, double offset, double slope, FitParameter intercept, FitParameter delay, double covariance)
        {
            double mean = speeds.Average();
            double spread = speeds.Sum(v => (v - mean) * (v - mean));
            double tilt = speeds.Zip(errors, (v, e) => (v - mean) * e).Sum() / spread;
            double level = errors.Average() - tilt * mean;
            double variance = speeds.Zip(errors, (v, e) => Math.Pow(e - level - tilt * v, 2)).Sum() / 3;
            Assert.Equal(slope + tilt, delay.Value, 10);
            Assert.Equal(offset + level, intercept.Value, 9);
            Assert.Equal(Math.Sqrt(variance / spread), delay.StandardError, 10);
            Assert.Equal(Math.Sqrt(variance * (0.2 + mean * mean / spread)), intercept.StandardError, 10);
            Assert.Equal(-variance * mean / spread, covariance, 10);
        }
    }

    [Fact]
    public void Two_speeds_leave_no_error_to_tell_and_three_do()
    {
        var sink = new DiagnosticSink();
        BlankerDelayFit fit = BlankerDelayFitter.Fit([10, 30], [47, 117], [17.5, 62.5], sink);
        Assert.Equal((3.5, 12, 2.25, -5, 0), (Math.Round(fit.OffDelay.Value, 9), Math.Round(fit.TailOffset.Value, 9), Math.Round(fit.OnDelay.Value, 9), Math.Round(fit.HeadOffset.Value, 9), fit.DegreesOfFreedom));
        Assert.Equal(
            "warning PC4006: two speeds determine the delays exactly, so nothing is known of their error; write the target at more speeds",
            Assert.Single(sink.Collected).ToString());
        BlankerDelayFitter.Fit([10, 30, 50], [47, 118, 187], [17, 63, 107], sink);
        Assert.Single(sink.Collected);
    }

    /// <summary>Names and units of what is fitted, and that a missing length is judged like a tail.</summary>
    [Fact]
    public void Each_column_is_named()
    {
        double[] speeds = [10, 20, 50, 80, 90];
        double[] tails = [46, 83, 187, 291, 328];
        BlankerDelayFit fit = BlankerDelayFitter.Fit(speeds, tails, speeds, new DiagnosticSink());
        Assert.Equal(
            ["off-delay us", "on-delay us", "tail-offset nm", "head-offset nm"],
            new[] { fit.OffDelay, fit.OnDelay, fit.TailOffset, fit.HeadOffset }.Select(p => $"{p.Name} {p.Unit}"));
        Assert.Contains(
            "the missing length shrinks with the speed, by 1 us, and no delay is below zero (measurement 1, speed 10 nm/us and missing length 90 nm, ",
            Assert.Throws<CompileException>(() => BlankerDelayFitter.Fit(speeds, tails, [90, 80, 51, 20, 10], new DiagnosticSink())).Message,
            StringComparison.Ordinal);
    }

    // Slope 1 and four errors s of either sign about it: 4s² are left of 14,000 + 4s², half in the root where 3s² = 3500.
    [Theory]
    [InlineData(34.1, true)]
    [InlineData(34.2, false)]
    public void A_line_must_explain_half_of_the_lengths(double error, bool isFitted)
    {
        // (10, 30, 70, 90) with + - - + about it: mean and slope of the errors are zero.
        double[] speeds = [10, 30, 70, 90];
        double[] tails = [10 + error, 30 - error, 70 - error, 90 + error];
        Assert.Equal(isFitted, Record.Exception(() => BlankerDelayFitter.Fit(speeds, tails, speeds, new DiagnosticSink())) is null);
    }

    [Fact]
    public void One_speed_is_not_enough()
    {
        var error = Assert.Throws<CompileException>(
            () => BlankerDelayFitter.Fit([10, 10, 10], [30, 31, 32], [20, 20, 20], new DiagnosticSink()));
        Assert.Equal("PC4004", error.Diagnostic.Code.Id);
    }

    /// <summary>Lengths that do not follow the speed are told so, however fast the lines were: a delay of less than a microsecond is none below zero.</summary>
    [Fact]
    public void Scattered_lengths_of_fast_lines_are_no_contradiction() => Assert.StartsWith(
        "error PC4007: a straight line leaves 97 % of the tails (root mean square), more than 50 %",
        Assert.Throws<CompileException>(() => BlankerDelayFitter.Fit([10_000, 20_000, 50_000, 80_000, 90_000], [100, -100, 100, -90, 110], [1, 2, 5, 8, 9], new DiagnosticSink())).Message,
        StringComparison.Ordinal);

    [Theory]
    [InlineData(true, "error PC4007: a straight line leaves 97 % of the tails (root mean square), more than 50 %: they do not tell how they depend on speed (measurement 1, speed 10 nm/us and tail 100 nm, stands most against a tail that grows with the speed); look for exchanged columns, another unit or a misread line")]
    [InlineData(false, "error PC4073: the tail shrinks with the speed, by 1 us, and no delay is below zero (measurement 1, speed 10 nm/us and tail 90 nm, stands most against a tail that grows with the speed); look for exchanged columns, another unit or a misread line")]
    public void Lengths_that_no_delay_makes_are_refused(bool isScattered, string expected)
    {
        double[] speeds = [10, 20, 50, 80, 90];
        double[] tails = isScattered ? [100, -100, 100, -90, 110] : [90, 80, 51, 20, 10];
        Assert.Equal(expected, Assert.Throws<CompileException>(() => BlankerDelayFitter.Fit(speeds, tails, speeds, new DiagnosticSink())).Message);
    }
}
