using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.Spread;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Tests.Calibration;

/// <summary>The spot is in the dots, not in the process file, and again in what is simulated.</summary>
public class SpreadRoundTripTests
{
    private static readonly SpreadFunction Truth = SpreadFunction.TwoGaussian(59, 4000, 0.74);
    private static readonly double[] Radii = [20, 30, 45, 60, 80, 110, 150, 400, 900, 1600, 2400, 3300, 4500, 6000];

    [Theory]
    [InlineData(5)]
    [InlineData(20)]
    [InlineData(60)]
    public void A_table_becomes_a_fit_a_process_file_and_the_same_radii(double spot)
    {
        const double Noise = 0.01;
        double[] charges = [.. Radii.Select(r => DotTables.ChargeFor(r, Truth, spot))];
        SpreadFit fit = SpreadFitter.Fit(charges, [.. Radii.Select((r, i) => r * (1 + Noise * Math.Sin(2.4 * i)))], spot, new DiagnosticSink());
        Assert.InRange(59, fit.Forward.Low, fit.Forward.High);
        Assert.InRange(4000, fit.Backscatter.Low, fit.Backscatter.High);
        Assert.InRange(0.74, fit.Ratio.Low, fit.Ratio.High);

        Resist process = ProcessFile.Parse(
            "process: p\ndose: {area: 300 uC/cm2, line: 1 nC/cm, dot: 1 fC}\nresist: {onset: 100 uC/cm2, clearing: 150 uC/cm2}\n" + FitText.Of(fit), "p.yaml");
        Assert.Equal(fit.Forward.Value, process.Spread!.Terms[0].RangeNanometres, 1e-3 * fit.Forward.Value);

        // The energy at which the resist clears is the fit's fourth parameter, in fC/nm² = 1000 C/m².
        double clears = Math.Exp(fit.LogCharge) / (Math.PI * (1 + fit.Ratio.Value)) * 1000;
        Assert.Equal(1.5, clears, 0.05);
        foreach (int dot in (int[])[3, 5, 8])
        {
            double printed = PrintedRadius(process, spot, charges[dot], clears);
            Assert.Equal(Radii[dot], printed, (Noise + fit.LogBandHalfWidth(Radii[dot])) * Radii[dot]);
        }
    }

    private static double PrintedRadius(Resist process, double spot, double femtocoulombs, double clears)
    {
        var map = new ChargeMap(4);
        map.Deposit(2, 2, femtocoulombs * 1e-15);
        var options = new SimulationOptions(process.Spread!, spot, clears);
        ContourSet printed = Developer.Run(map, null, options, CancellationToken.None).Printed;
        return Math.Sqrt((double)ExactArea.Twice(printed[0]) / 2 / Math.PI) * options.GridPicometres / 1000;
    }

    [Fact]
    public void A_spot_that_is_wider_than_the_dots_is_refused() => Assert.StartsWith(
        "error PC4071: the forward range of the dots is 60.21 nm with the spot, no more than the 72.07 nm of a spot of 120 nm alone; check --spot",
        Assert.Throws<CompileException>(() => SpreadFitter.Fit(
            [.. Radii.Select(r => DotTables.ChargeFor(r, Truth, 20))], Radii, 120, new DiagnosticSink())).Message,
        StringComparison.Ordinal);

    [Fact]
    public void Radii_that_shrink_with_the_charge_are_refused() => Assert.StartsWith(
        "error PC4007: no two-Gaussian spread describes these dots",
        Assert.Throws<CompileException>(() => SpreadFitter.Fit(
            [.. Radii.Select(r => DotTables.ChargeFor(r, Truth, 20)).Reverse()], Radii, 20, new DiagnosticSink())).Message,
        StringComparison.Ordinal);
}
