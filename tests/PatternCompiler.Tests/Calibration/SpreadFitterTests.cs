using PatternCompiler.Calibration.Spread;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Tests.Calibration;

public class SpreadFitterTests
{
    private static readonly double[] Radii = [15, 25, 40, 60, 90, 150, 300, 600, 1000, 1500, 2200, 3000, 4000];

    [Theory]
    [InlineData(30, 2000, 0.74)]
    [InlineData(24, 9500, 0.74)]
    [InlineData(60, 1200, 0.5)]
    public void Noiseless_dots_give_back_the_spread(double forward, double backscatter, double ratio)
    {
        double[] charges = [.. Radii.Select(r => 0.5 / Spread(r, forward, backscatter, ratio))];
        SpreadFit fit = SpreadFitter.Fit(charges, Radii, 0, new DiagnosticSink());
        Assert.Equal(forward, fit.Forward.Value, forward * 1e-5);
        Assert.Equal(backscatter, fit.Backscatter.Value, backscatter * 1e-5);
        Assert.Equal(ratio, fit.Ratio.Value, ratio * 1e-5);
        Assert.All(Radii.Zip(charges), p => Assert.Equal(1, fit.ChargeForRadius(p.First) / p.Second, 6));
    }

    [Fact]
    public void Noise_widens_the_interval_around_the_truth()
    {
        var random = new Random(3);
        double[] charges = [.. Radii.Select(r => Math.Exp(0.02 * (random.NextDouble() - 0.5)) / Spread(r, 30, 2000, 0.74))];
        SpreadFit fit = SpreadFitter.Fit(charges, Radii, 0, new DiagnosticSink());
        Assert.InRange(2000, fit.Backscatter.Low, fit.Backscatter.High);
        Assert.InRange(30, fit.Forward.Low, fit.Forward.High);
        Assert.True(fit.Forward.StandardError > 0);
    }

    /// <summary>
    /// Residuals from the model's own definition, ln(Q) = c − ln(f(r)), solved by bisection; slopes by differences of the residuals.
    /// </summary>
    [Theory]
    [InlineData(30, 2000, 0.74)]
    [InlineData(45, 900, 1.6)]
    public void Residuals_and_slopes_are_those_of_the_model(double forward, double backscatter, double ratio)
    {
        double[] charges = [.. Radii.Select((r, i) => (0.7 + 0.1 * (i % 5)) / Spread(r, forward, backscatter, ratio))];
        var model = new DotModel(charges, Radii);
        double[] parameters = [Math.Log(forward), Math.Log(backscatter), Math.Log(ratio), -0.6];
        double[] residuals = new double[Radii.Length];
        double[] slopes = new double[4 * Radii.Length];
        Assert.True(model.Evaluate(parameters, residuals, slopes));
        for (int i = 0; i < Radii.Length; i++)
        {
            Assert.Equal(Math.Log(Radii[i]) - LogRadiusOf(charges[i], parameters), residuals[i], 1e-9);
            for (int p = 0; p < 4; p++)
            {
                double[] more = [.. parameters], less = [.. parameters];
                (more[p], less[p]) = (parameters[p] + 1e-5, parameters[p] - 1e-5);
                double change = (LogRadiusOf(charges[i], less) - LogRadiusOf(charges[i], more)) / 2e-5;
                Assert.Equal(change, slopes[4 * i + p], 1e-6 * (1 + Math.Abs(change)));
            }
        }

        // A charge that clears nothing, not even in the middle, has no radius.
        Assert.False(new DotModel([0.5 / Spread(0, forward, backscatter, ratio)], [10]).Evaluate(parameters, new double[1], new double[4]));

        static double LogRadiusOf(double charge, double[] p)
        {
            (double low, double high) = (-5, 15);
            for (int step = 0; step < 200; step++)
            {
                double middle = (low + high) / 2;
                (low, high) = Math.Log(charge) < p[3] - Math.Log(Spread(Math.Exp(middle), Math.Exp(p[0]), Math.Exp(p[1]), Math.Exp(p[2]))) ? (low, middle) : (middle, high);
            }

            return (low + high) / 2;
        }
    }

    [Fact]
    public void Dots_that_no_spread_makes_are_refused_with_how_far_they_are_off()
    {
        double[] charges = [.. Radii.Select((r, i) => (i % 2 == 0 ? 20 : 0.05) / Spread(r, 30, 2000, 0.74))];
        string message = Assert.Throws<CompileException>(() => SpreadFitter.Fit(charges, Radii, 0, new DiagnosticSink())).Message;
        Assert.Matches("^error PC4007: no two-Gaussian spread describes these dots: the best one misses the radii by [0-9]{2,3} % \\(root mean square\\), more than [0-9]+ % ", message);
    }

    [Fact]
    public void Too_few_dots_are_refused()
    {
        var error = Assert.Throws<CompileException>(() => SpreadFitter.Fit([1, 2, 3], [10, 100, 1000], 0, new DiagnosticSink()));
        Assert.Equal(
            "error PC4002: 3 dots cannot determine the range of forward scattering, the range of backscattering, their ratio "
            + "and the threshold; measure five dots or more, with charges over several decades",
            error.Message);
    }

    [Fact]
    public void Radii_of_one_size_are_refused()
    {
        var error = Assert.Throws<CompileException>(
            () => SpreadFitter.Fit([1, 2, 3, 4, 5], [10, 12, 14, 16, 18], 0, new DiagnosticSink()));
        Assert.Equal("PC4003", error.Diagnostic.Code.Id);
    }

    private static double Spread(double r, double forward, double backscatter, double ratio) =>
        Math.Exp(-r * r / (forward * forward)) / (forward * forward)
        + ratio * Math.Exp(-r * r / (backscatter * backscatter)) / (backscatter * backscatter);
}
