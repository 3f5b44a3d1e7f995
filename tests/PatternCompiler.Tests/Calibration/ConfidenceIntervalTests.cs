using PatternCompiler.Calibration;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Tests.Calibration;

/// <summary>Intervals by hand, with the 97.5 % points of Student's t of any table: 12.706 for one degree of freedom, 2.228 for ten.</summary>
public sealed class ConfidenceIntervalTests
{
    [Theory]
    [InlineData(1, 12.706)]
    [InlineData(10, 2.228)]
    public void Ends_stand_where_the_table_says(int degrees, double t)
    {
        FitParameter even = ConfidenceInterval.Symmetric("a", "nm", 40, 0.5, degrees);
        Assert.Equal(("a", "nm", 40, 0.5), (even.Name, even.Unit, even.Value, even.StandardError));
        Assert.Equal((40 - t / 2, 40 + t / 2), (even.Low, even.High), Near);
        FitParameter positive = ConfidenceInterval.Positive("b", "um", 40, 0.05, degrees);
        Assert.Equal(("b", "um", 40, 2), (positive.Name, positive.Unit, positive.Value, positive.StandardError));
        Assert.Equal((40 * Math.Exp(-t / 20), 40 * Math.Exp(t / 20)), (positive.Low, positive.High), Near);
    }

    [Fact]
    public void With_nothing_to_spare_the_error_is_unknown()
    {
        foreach (FitParameter fit in new[] { ConfidenceInterval.Symmetric("a", "", 4, 0.5, 0), ConfidenceInterval.Positive("a", "", 4, 0.5, 0) })
        {
            Assert.Equal((4, double.NaN, double.NaN, double.NaN), (fit.Value, fit.StandardError, fit.Low, fit.High));
        }
    }

    /// <summary>A positive number that has come down to nothing, or an end beyond all numbers, tells nothing; an even one may well be zero.</summary>
    [Theory]
    [InlineData(0.0, 0.05)]
    [InlineData(1e-310, 0.05)]
    [InlineData(double.PositiveInfinity, 0.05)]
    [InlineData(double.NaN, 0.05)]
    [InlineData(40.0, 1e4)]
    public void What_nothing_bounds_is_not_determined(double value, double error)
    {
        foreach (int degrees in new[] { 0, 1, 10 }.Where(degrees => degrees > 0 || error < 1))
        {
            Assert.Equal(
                "nothing in the measurements tells b: any value would fit them",
                Assert.Throws<CompileException>(() => ConfidenceInterval.Positive("b", "um", value, error, degrees)).Diagnostic.Message);
        }

        Assert.Equal(0, ConfidenceInterval.Symmetric("a", "nm", 0, 0.5, 3).Value);
        Assert.Throws<CompileException>(() => ConfidenceInterval.Symmetric("a", "nm", 40, double.PositiveInfinity, 3));
    }

    /// <summary>Two measurements are enough to rise; the products of their places come to a half.</summary>
    [Theory]
    [InlineData(3, 4, true)]
    [InlineData(4, 3, false)]
    [InlineData(4, 4, false)]
    public void Few_measurements_rise_or_do_not(double first, double second, bool rises) => Assert.Equal(rises, Misfit.Rises([1, 2], [first, second]));

    private static bool Near((double Low, double High) a, (double Low, double High) b) => Math.Abs(a.Low - b.Low) < 1e-3 * Math.Abs(a.Low) + 1e-3 && Math.Abs(a.High - b.High) < 1e-3 * Math.Abs(a.High);
}
