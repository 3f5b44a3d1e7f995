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
