using PatternCompiler.Calibration;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Tests.Calibration;

/// <summary>
/// A straight line 1, 2, 2, 4 over 0, 1, 2, 3, by hand: level and slope 0.9, residuals 0.1, 0.2, −0.7, 0.4, variance 0.7/2, (JᵀJ)⁻¹ =
/// (14, −6; −6, 4)/20, leverages 1/4 + (x − 1.5)²/5 = 0.7, 0.3, 0.3, 0.7.
/// </summary>
public sealed class LinearFitTests
{
    [Fact]
    public void A_line_its_errors_and_what_is_missed_without_each()
    {
        LinearFit fit = LinearFit.Solve(new double[,] { { 1, 0 }, { 1, 1 }, { 1, 2 }, { 1, 3 } }, [1, 2, 2, 4]);
        AssertNear([0.9, 0.9], fit.Coefficients);
        AssertNear([0.1, 0.2, -0.7, 0.4], fit.Residuals);
        Assert.Equal(2, fit.DegreesOfFreedom);
        AssertNear([0.35, 0.35 * 0.7, 0.35 * -0.3, 0.35 * -0.3, 0.35 * 0.2], [fit.Variance, fit.Covariance(0, 0), fit.Covariance(0, 1), fit.Covariance(1, 0), fit.Covariance(1, 1)]);
        AssertNear([Math.Sqrt(0.245), Math.Sqrt(0.07)], [fit.StandardError(0), fit.StandardError(1)]);
        AssertNear([0.1 / 0.3, 0.2 / 0.7, -0.7 / 0.7, 0.4 / 0.3], [.. Enumerable.Range(0, 4).Select(fit.LeaveOneOutError)]);

        LinearFit scaled = fit.Rescaled(1, 10);
        AssertNear([0.9, 9], scaled.Coefficients);
        AssertNear(fit.Residuals, scaled.Residuals);
        AssertNear([0.245, -1.05, 7], [scaled.Covariance(0, 0), scaled.Covariance(0, 1), scaled.Covariance(1, 1)]);
        AssertNear([0.1 / 0.3, -1], [scaled.LeaveOneOutError(0), scaled.LeaveOneOutError(2)]);
    }

    [Fact]
    public void What_nothing_else_fixes_cannot_be_left_out()
    {
        LinearFit fit = LinearFit.Solve(new double[,] { { 1, 0 }, { 1, 0 }, { 1, 1 } }, [1, 3, 7]);
        AssertNear([2, 5], fit.Coefficients);
        AssertNear([-2, 2], [fit.LeaveOneOutError(0), fit.LeaveOneOutError(1)]);
        Assert.True(double.IsNaN(fit.LeaveOneOutError(2)));
        LinearFit exact = LinearFit.Solve(new double[,] { { 1, 0 }, { 1, 2 } }, [1, 3]);
        Assert.Equal((0, true), (exact.DegreesOfFreedom, double.IsNaN(exact.Variance)));
    }

    [Fact]
    public void What_determines_nothing_is_refused()
    {
        Assert.Equal(
            "error PC4002: 1 measurements cannot determine 2 parameters; measure at least 3 points or fit a simpler model",
            Assert.Throws<CompileException>(() => LinearFit.Solve(new double[,] { { 1, 0 } }, [1])).Message);
        Assert.Equal(CalibrationCodes.Undetermined, Assert.Throws<CompileException>(() => LinearFit.Solve(new double[,] { { 1, 2 }, { 1, 2 }, { 1, 2 } }, [1, 2, 3])).Diagnostic.Code);
        foreach (double bad in (double[])[double.NaN, double.PositiveInfinity])
        {
            Assert.Equal(CalibrationCodes.NotConverged, Assert.Throws<CompileException>(() => LinearFit.Solve(new double[,] { { 1, 0 }, { 1, 1 } }, [1, bad])).Diagnostic.Code);
            Assert.Equal(CalibrationCodes.NotConverged, Assert.Throws<CompileException>(() => LinearFit.Solve(new double[,] { { 1, 0 }, { 1, bad } }, [1, 2])).Diagnostic.Code);
        }

        // Columns of unlike size are dependent from a ratio of 10⁸ on.
        Assert.Equal(2, LinearFit.Solve(new double[,] { { 1, 0 }, { 0, 1.1e-8 } }, [1, 2]).Coefficients.Length);
        Assert.Throws<CompileException>(() => LinearFit.Solve(new double[,] { { 1, 0 }, { 0, 0.9e-8 } }, [1, 2]));
    }

    /// <summary>The measurement whose places in the two orders differ most, the first of several; equal values share the mean of their places.</summary>
    [Theory]
    [InlineData("1 2 3 4", "10 20 40 30", true, 2)]
    [InlineData("1 2 3 4", "30 40 20 10", false, 0)]
    [InlineData("4 3 2 1", "10 20 30 40", true, 0)]
    [InlineData("1 2 3 4", "10 20 30 40", true, null)]
    [InlineData("1 2 3 4", "40 30 20 10", false, null)]
    [InlineData("1 2 2 3", "10 20 20 30", true, null)]
    [InlineData("1 2 3 4", "10 10 10 5", true, 3)]
    [InlineData("5 5 5", "1 2 3", true, 0)]
    public void The_measurement_that_stands_most_against_it(string x, string y, bool rising, int? row)
    {
        double[] first = [.. x.Split(' ').Select(text => (double)int.Parse(text, System.Globalization.CultureInfo.InvariantCulture))];
        double[] second = [.. y.Split(' ').Select(text => (double)int.Parse(text, System.Globalization.CultureInfo.InvariantCulture))];
        Diagnostic fault = Misfit.Fault(CalibrationCodes.NotConverged, "no fit", "look", new("dose", first, "uC"), new("width", second, "nm"), rising).Diagnostic;
        Assert.Equal(row, fault.Measurement);
        string told = row is int at ? FormattableString.Invariant($" (measurement {at + 1}, dose {first[at]} uC and width {second[at]} nm, stands most against a width that {(rising ? "grows" : "falls")} with the dose)") : "";
        Assert.Equal($"error PC4007: no fit{told}; look", fault.ToString());
        Diagnostic renumbered = Misfit.Renumbered(fault, number => 10 * number + 7);
        Assert.Equal(row is int before ? 10 * before + 7 : null, renumbered.Measurement);
        Assert.Equal(row is int old ? fault.Message.Replace($"(measurement {old + 1},", $"(measurement {10 * old + 8},", StringComparison.Ordinal) : fault.Message, renumbered.Message);
    }

    private static void AssertNear(double[] expected, double[] actual) => Assert.Equal(expected, actual, (a, b) => Math.Abs(a - b) < 1e-9);
}
