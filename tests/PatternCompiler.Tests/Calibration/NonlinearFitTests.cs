using PatternCompiler.Calibration;

namespace PatternCompiler.Tests.Calibration;

/// <summary>
/// A straight line 1, 2, 2, 4 over 0, 1, 2, 3, by hand: Σx = 6, Σx² = 14, Σy = 9, Σxy = 18, so that the slope is (4·18 − 6·9)/(4·14 − 36) = 0.9 and the
/// level (9 − 5.4)/4 = 0.9; what is left is 0.1, 0.2, −0.7, 0.4, 0.7 in squares. (JᵀJ)⁻¹ = (14, −6; −6, 4)/20.
/// </summary>
public sealed class NonlinearFitTests
{
    private static readonly double[] Y = [1, 2, 2, 4];

    [Fact]
    public void A_straight_line_is_that_of_linear_least_squares()
    {
        NonlinearFit fit = NonlinearFit.Solve(Line, 4, [100, -30])!;
        Assert.Equal(0.9, fit.Parameters[0], 1e-9);
        Assert.Equal(0.9, fit.Parameters[1], 1e-9);
        Assert.Equal(0.7, fit.SumOfSquares, 1e-12);
        Assert.Equal(2, fit.DegreesOfFreedom);
        Assert.Equal(0.35, fit.Variance, 1e-12);
        double[] expected = [0.35 * 14 / 20, -0.35 * 6 / 20, -0.35 * 6 / 20, 0.35 * 4 / 20];
        Assert.All(expected.Zip(fit.Covariance.ToRowMajorArray()), pair => Assert.Equal(pair.First, pair.Second, 1e-9));

        // Student's t for two spare readings is 4.3027 (any handbook's table).
        (double low, double high) = fit.Interval(1, 100);
        Assert.Equal(0.9 - 4.3027 * Math.Sqrt(0.07), low, 1e-4);
        Assert.Equal(0.9 + 4.3027 * Math.Sqrt(0.07), high, 1e-4);
        (low, high) = fit.Interval(0, 100);
        Assert.Equal(0.9 - 4.3027 * Math.Sqrt(0.245), low, 2e-4);
        Assert.Equal(0.9 + 4.3027 * Math.Sqrt(0.245), high, 2e-4);
        Assert.Equal((double.NegativeInfinity, double.PositiveInfinity), fit.Interval(0, 2));
    }

    /// <summary>With the slope held at 2 the level is 9/4 − 3 = −0.75, with the level at 2 the slope (18 − 12)/14.</summary>
    [Fact]
    public void A_held_parameter_stays()
    {
        Assert.Equal([-0.75, 2], NonlinearFit.Solve(Line, 4, [5, 2], held: 1)!.Parameters, (a, b) => Math.Abs(a - b) < 1e-9);
        Assert.Equal([2, 6.0 / 14], NonlinearFit.Solve(Line, 4, [2, 5], held: 0)!.Parameters, (a, b) => Math.Abs(a - b) < 1e-9);
    }

    [Fact]
    public void A_variance_is_no_smaller_than_the_least()
    {
        Assert.Equal(0.35, NonlinearFit.Solve(Line, 4, [0, 0], leastVariance: 0.34)!.Variance, 1e-12);
        NonlinearFit fit = NonlinearFit.Solve(Line, 4, [0, 0], leastVariance: 0.5)!;
        Assert.Equal(0.5, fit.Variance, 1e-12);
        Assert.Equal(0.5 * 4 / 20, fit.Covariance[1, 1], 1e-9);
    }

    /// <summary>Rosenbrock's valley (H. H. Rosenbrock, The Computer Journal 3, 1960): from (−1.2, 1) to (1, 1), along a bend.</summary>
    [Fact]
    public void A_bent_valley_is_followed_to_its_end()
    {
        NonlinearFit fit = NonlinearFit.Solve(
            (p, residuals, slopes) =>
            {
                (residuals[0], residuals[1]) = (10 * (p[1] - p[0] * p[0]), 1 - p[0]);
                (slopes[0], slopes[1], slopes[2], slopes[3]) = (-20 * p[0], 10, -1, 0);
                return true;
            },
            2,
            [-1.2, 1])!;
        Assert.Equal([1, 1], fit.Parameters, (a, b) => Math.Abs(a - b) < 1e-7);
        Assert.Equal(0, fit.SumOfSquares, 1e-12);
    }

    [Fact]
    public void Where_the_model_has_no_value_there_is_no_fit()
    {
        Assert.Null(NonlinearFit.Solve((_, _, _) => false, 4, [0, 0]));
        Assert.Null(NonlinearFit.Solve((_, residuals, _) => { residuals[0] = double.NaN; return true; }, 4, [0, 0]));

        // A model that ends at a slope of 0.5: the best is at the end of it.
        NonlinearFit fit = NonlinearFit.Solve((p, residuals, slopes) => Line(p, residuals, slopes) && p[1] < 0.5, 4, [0, 0])!;
        Assert.InRange(fit.Parameters[1], 0.4, 0.5);
    }

    private static bool Line(ReadOnlySpan<double> p, Span<double> residuals, Span<double> slopes)
    {
        for (int i = 0; i < 4; i++)
        {
            residuals[i] = Y[i] - p[0] - p[1] * i;
            (slopes[2 * i], slopes[2 * i + 1]) = (-1, -i);
        }

        return true;
    }
}
