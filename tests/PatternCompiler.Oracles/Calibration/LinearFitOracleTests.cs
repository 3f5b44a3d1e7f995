using PatternCompiler.Calibration;

namespace PatternCompiler.Oracles.Calibration;

public class LinearFitOracleTests
{
    // F. J. Anscombe, Graphs in Statistical Analysis, The American Statistician 27, 17 (1973), data set 1:
    // y = 3.0 + 0.5 x, standard error of the slope 0.118, residual sum of squares 13.75 with 9 degrees of freedom.
    private static readonly double[] AnscombeX = [10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5];
    private static readonly double[] AnscombeY = [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68];

    [Fact]
    public void A_published_regression_is_reproduced()
    {
        var design = new double[AnscombeX.Length, 2];
        for (int i = 0; i < AnscombeX.Length; i++)
        {
            design[i, 0] = 1;
            design[i, 1] = AnscombeX[i];
        }

        LinearFit fit = LinearFit.Solve(design, AnscombeY);
        Assert.Equal(3.0, fit.Coefficients[0], 2);
        Assert.Equal(0.5, fit.Coefficients[1], 3);
        Assert.Equal(0.118, fit.StandardError(1), 3);
        Assert.Equal(13.75, fit.Residuals.Sum(r => r * r), 1);
        Assert.Equal(9, fit.DegreesOfFreedom);
    }
}
