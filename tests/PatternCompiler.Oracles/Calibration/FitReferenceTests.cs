using PatternCompiler.Calibration;
using PatternCompiler.Calibration.BlankerDelay;
using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Calibration.DoseToSize;
using PatternCompiler.Calibration.Settling;
using PatternCompiler.Calibration.Spread;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;

namespace PatternCompiler.Oracles.Calibration;

/// <summary>
/// Fits against those of SciPy 1.10.1 and NumPy on the same data: <c>fit_reference.py</c> and <c>dose_to_size.py</c> beside this file print the values
/// expected here.
/// </summary>
public class FitReferenceTests
{
    // SciPy's curve_fit of the whole clipped curve, and its optimisers for the profiles.
    [Fact]
    public void A_contrast_curve()
    {
        ContrastFit fit = Contrast(200);
        Assert.Equal(116.1961169212, fit.Onset.Value, 8);
        Assert.Equal(416.5888403743, fit.Clearing.Value, 8);
        Assert.Equal(1.803374419240, fit.Contrast.Value, 10);
        Holds(fit.Onset, 113.99653864, 118.35028066);
        Holds(fit.Clearing, 411.57875395, 421.84110382);
        Holds(fit.Contrast, 1.76475462, 1.84199422);
        Assert.True(fit.IsThicknessGiven);
    }

    [Fact]
    public void A_contrast_curve_of_unknown_thickness()
    {
        ContrastFit fit = Contrast(null);
        Assert.Equal(116.1961169212, fit.Onset.Value, 8);
        Assert.Equal(416.5888403743, fit.Clearing.Value, 8);
        Assert.Equal(200, fit.Thickness.Value, 8);
        Holds(fit.Thickness, 197.87598066, 202.12401934);
    }

    // SciPy's least_squares of ln(radius), which brentq finds for each charge, and its profiles.
    [Fact]
    public void A_dot_test()
    {
        SpreadFit fit = SpreadFitter.Fit(
            [0.98, 1.6, 3.7, 12.3, 104, 2000, 3080, 3130, 3270, 3480, 4230, 6550, 13000],
            [20.1, 40.6, 60.3, 78.4, 108, 149, 200, 312, 483, 890, 1530, 2110, 2980],
            0,
            new DiagnosticSink());
        Assert.Equal(50.2008954, fit.Forward.Value, 50 * 1e-5);
        Assert.Equal(2436.27684, fit.Backscatter.Value, 2436 * 1e-5);
        Assert.Equal(0.638956865, fit.Ratio.Value, 0.64 * 1e-5);
        Assert.Equal(0.072714956, fit.RootMeanSquareResidual, 8);
        Holds(fit.Forward, 45.823004, 54.871551);
        Holds(fit.Backscatter, 2203.824533, 2684.729029);
        Holds(fit.Ratio, 0.501503970, 0.813039548);
        Assert.Equal(8.0753646, Math.Log(fit.ChargeForRadius(500)), 1e-5);
        Assert.Equal(0.085397, fit.LogBandHalfWidth(500), 2e-5);
    }

    // NumPy's polyfit with its scaled covariance.
    [Fact]
    public void Tails_of_a_blanker()
    {
        BlankerDelayFit fit = BlankerDelayFitter.Fit([50, 100, 200, 400, 800], [51, 101, 195, 402, 729], [0, 0, 0, 0, 0], new DiagnosticSink());
        Assert.Equal(0.90717741935, fit.OffDelay.Value, 10);
        Assert.Equal(0.02727196577, fit.OffDelay.StandardError, 10);
        Assert.Equal(14.375, fit.TailOffset.Value, 9);
        Assert.Equal(11.26104346, fit.TailOffset.StandardError, 7);
        Assert.Equal(23.6894874499, fit.BandHalfWidth(fit.OffDelay, fit.TailOffset, fit.TailCovariance, 300), 7);
    }

    // SciPy's curve_fit of the same model to the displacements; its covariance is from a numerical Jacobian.
    [Fact]
    public void Bars_after_jumps()
    {
        double[] jumps = [.. Enumerable.Range(0, 16).Select(i => 10_000.0 * (1 << (i % 4)))];
        double[] waits = [5, 5, 5, 5, 10, 10, 10, 10, 20, 20, 20, 20, 30, 30, 30, 30];
        SettlingFit fit = SettlingFitter.Fit(
            jumps, waits, [4346, 8697, 17380, 34772, 1320, 2642, 5294, 10573, 122, 247, 493, 977, 14, 19, 44, 89], new DiagnosticSink());
        Assert.Equal(4.2009074814, fit.TimeConstant.Value, 8);
        Holds(fit.TimeConstant, 4.19887638, 4.20293940);
        Assert.Equal(1.49955351, fit.DeadTime.Value, 8);
        Holds(fit.DeadTime, 1.49752562, 1.50158018);
        Assert.Equal(0.0402076642954, fit.Left(15), 10);
        Assert.Equal(0.00111369955, fit.LogBandHalfWidth(15), 1e-8);
    }

    // SciPy's quadrature of the spread over bars and gaps, its least_squares and brentq for profiles: dose_to_size.py beside this file.
    // The middle and the edge of a bar are the closed forms to the digit.
    [Fact]
    public void A_dose_test()
    {
        SpreadFunction spread = SpreadFunction.TwoGaussian(65, 3800, 0.7);
        var bar = new DoseFeature(DoseFeatureKind.Bar, 300, 10_000, 1, 0, double.PositiveInfinity);
        var dense = new DoseFeature(DoseFeatureKind.Bar, 200, 10_000, 5, 500, double.PositiveInfinity);
        var gap = new DoseFeature(DoseFeatureKind.Gap, 250, 10_000, 1, 0, 5000);
        Assert.Equal(0.6047684728520046, bar.MiddleEnergy(spread), 9);
        Assert.Equal(0.31127126971588814, bar.EdgeEnergy(spread), 9);
        DoseReading[] readings =
        [
            new(bar, 470, 197.79607900022478, double.NaN, null),
            new(bar, 520, 229.8565425924003, double.NaN, null),
            new(bar, 600, 263.9508775255148, double.NaN, null),
            new(bar, 700, 286.8551753460701, double.NaN, null),
            new(dense, 470, 124.5027032425658, double.NaN, null),
            new(dense, 520, 151.85239177240322, double.NaN, null),
            new(dense, 600, 179.26881656288802, double.NaN, null),
            new(dense, 700, 202.2798691420202, double.NaN, null),
            new(gap, 430, 222.3338389636376, double.NaN, null),
            new(gap, 470, 199.19719683148196, double.NaN, null),
            new(gap, 520, 173.69859020150727, double.NaN, null),
            new(gap, 600, 137.03030519279366, double.NaN, null),
        ];
        DoseFit fit = DoseFitter.Fit(readings, spread, 0, ResistTone.Positive, new DiagnosticSink());
        Assert.Equal(252.54383956788877, fit.Threshold.Value, 1e-4);
        Assert.Equal(3.6246331565489176, fit.Bias!.Value, 1e-4);
        Holds(fit.Threshold, 249.6347905208701, 255.50710656139464);
        Holds(fit.Bias, 2.2253467486059084, 5.057493228731357);

        // With the spread off by 5 %: the whole covariance of the readings there, a parameter for each range and ratio here.
        fit = DoseFitter.Fit(readings, spread, 0.05, ResistTone.Positive, new DiagnosticSink());
        Assert.Equal(253.56294906464666, fit.Threshold.Value, 1e-3);
        Assert.Equal(3.564109827978153, fit.Bias!.Value, 1e-3);
        Assert.Equal([248.2126108857136, 259.0370758028177], [fit.Threshold.Low, fit.Threshold.High], (a, b) => Math.Abs(a - b) < 2e-3);
        Assert.Equal([1.8614184709360182, 5.319025040960821], [fit.Bias.Low, fit.Bias.High], (a, b) => Math.Abs(a - b) < 2e-3);
    }

    private static ContrastFit Contrast(double? thickness) => ContrastFitter.Fit(
        [50, 100, 150, 200, 250, 300, 350, 400, 450, 500], [200, 200, 160, 115, 80, 50, 30, 5, 0, 0], thickness, ResistTone.Positive, new DiagnosticSink());

    // Ends are sought to a hundred-thousandth of their distance.
    private static void Holds(FitParameter fitted, double low, double high)
    {
        Assert.Equal(low, fitted.Low, 2e-5 * (high - low));
        Assert.Equal(high, fitted.High, 2e-5 * (high - low));
    }
}
