using PatternCompiler.Calibration.Spread;

namespace PatternCompiler.Tests.Calibration;

/// <summary>The parts of the dot model from its definition: ln(Q) = c − ln(f(r)), f(r) = exp(−r²/a²)/a² + η·exp(−r²/b²)/b².</summary>
public sealed class DotModelTests
{
    private const double A = 40;
    private const double B = 1500;
    private const double Ratio = 0.6;
    private static readonly double[] Radii = [15, 60, 130, 400, 1000, 2600];

    [Fact]
    public void Logarithm_of_the_spread_and_its_slopes()
    {
        foreach (double r in (double[])[0, .. Radii])
        {
            Assert.Equal(Math.Log(Spread(r, A, B, Ratio)), DotModel.LogSpread(r, A, B, Ratio), 1e-12 * Math.Abs(Math.Log(Spread(r, A, B, Ratio))));
        }

        foreach (double r in Radii)
        {
            Assert.Equal(Slope(e => -Math.Log(Spread(r * Math.Exp(e), A, B, Ratio))), DotModel.SlopeAt(r, A, B, Ratio), Near);
            Assert.Equal(Slope(e => -Math.Log(Spread(r, A * Math.Exp(e), B, Ratio))), DotModel.LogChargeSlope(r, 0, A, B, Ratio), Near);
            Assert.Equal(Slope(e => -Math.Log(Spread(r, A, B * Math.Exp(e), Ratio))), DotModel.LogChargeSlope(r, 1, A, B, Ratio), Near);
            Assert.Equal(Slope(e => -Math.Log(Spread(r, A, B, Ratio * Math.Exp(e)))), DotModel.LogChargeSlope(r, 2, A, B, Ratio), Near);
            Assert.Equal(1, DotModel.LogChargeSlope(r, 3, A, B, Ratio));
        }

        // Far out a Gaussian of 40 nm is below every number that a double holds; its logarithm is −r²/a² − 2·ln(a).
        Assert.Equal(-1e8 / 1600 - 2 * Math.Log(40), DotModel.LogSpread(10_000, 40, 40, 1e-300), 1e-6);

        static double Slope(Func<double, double> f) => (f(1e-5) - f(-1e-5)) / 2e-5;
        static bool Near(double expected, double actual) => Math.Abs(expected - actual) < 1e-6 * (1 + Math.Abs(expected));
    }

    /// <summary>The mean over the dots of ln(Q) + ln(f); but no more than lets the dot of the least charge clear its middle, with a thousandth to spare.</summary>
    [Fact]
    public void Threshold_to_start_from()
    {
        double[] charges = [.. Radii.Select((r, i) => (2 + 0.1 * i) / Spread(r, A, B, Ratio))];
        double mean = Enumerable.Range(0, Radii.Length).Average(i => Math.Log(charges[i] * Spread(Radii[i], A, B, Ratio)));
        Assert.Equal(mean, new DotModel(charges, Radii).ThresholdFor(A, B, Ratio), 1e-9);
        charges[2] = charges.Min() / 50;
        Assert.Equal(Math.Log(charges[2] * Spread(0, A, B, Ratio)) - 1e-3, new DotModel(charges, Radii).ThresholdFor(A, B, Ratio), 1e-9);
    }

    /// <summary>What a dot misses in ln(Q), by the slope of ln(Q) against ln(r) at its radius.</summary>
    [Fact]
    public void Squares_along_the_slope()
    {
        double[] charges = [.. Radii.Select((r, i) => (2 + 0.1 * i) / Spread(r, A, B, Ratio))];
        double expected = Radii.Select((r, i) => Math.Pow(
            (0.8 - Math.Log(2 + 0.1 * i)) / (2 * r * r / Spread(r, A, B, Ratio) * (Math.Exp(-r * r / (A * A)) / Math.Pow(A, 4) + Ratio * Math.Exp(-r * r / (B * B)) / Math.Pow(B, 4))), 2)).Sum();
        Assert.Equal(expected, new DotModel(charges, Radii).RoughSquares([Math.Log(A), Math.Log(B), Math.Log(Ratio), 0.8]), 1e-9 * expected);
        Assert.Equal(double.MaxValue, new DotModel(charges, Radii).RoughSquares([Math.Log(A), Math.Log(B), double.NaN, 0.8]));
    }

    private static double Spread(double r, double a, double b, double ratio) => Math.Exp(-r * r / (a * a)) / (a * a) + ratio * Math.Exp(-r * r / (b * b)) / (b * b);
}
