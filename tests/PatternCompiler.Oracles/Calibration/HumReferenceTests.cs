using PatternCompiler.Calibration.Mains;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Oracles.Calibration;

/// <summary>The fit of hum against NumPy's lstsq on the same design matrix: <c>hum_reference.py</c> beside this file prints the values expected here.</summary>
public sealed class HumReferenceTests
{
    private static readonly int[] Lines = [.. Enumerable.Range(0, 60).Select(i => i / 30)];
    private static readonly double[] Times = [.. Enumerable.Range(0, 60).Select(i => 1.7e-3 * i + 0.011 * Lines[i])];

    private static readonly double[] Displacements =
    [
        .. Times.Select((t, i) => Math.Round(
            5 + 40 * Lines[i] - 100 * t + 30 * Math.Sin(2 * Math.PI * 50 * t + 0.7) + 4 * Math.Sin(2 * Math.PI * 100 * t + 2)
            + 1.5 * Math.Sin(2 * Math.PI * 150 * t - 1) + (i * 37 % 11 - 5) * 0.4, 2)),
    ];

    [Fact]
    public void Amplitudes_phases_and_their_errors()
    {
        HumFit fit = HumFitter.Fit(HumRows.Of(Times, Lines, ("x", Displacements)), 50, 3, false, new DiagnosticSink());
        Assert.Equal(1.2102360486576766, fit.RootMeanSquareNanometres, 8);
        (double, double, double, double)[] expected =
        [
            (29.8482044807821, 0.2456573191266482, 40.219574071337455, 0.4740031285791685),
            (3.9002039176886636, 0.2471112481501237, 111.12752428560678, 3.631097803326264),
            (1.5487123210009686, 0.2432762097341216, -41.005465705713135, 9.081912576357428),
        ];
        foreach (((double amplitude, double amplitudeError, double phase, double phaseError), HumWaveFit wave) in expected.Zip(fit.Axes.Single().Waves))
        {
            Assert.Equal(amplitude, wave.Amplitude.Value, 7);
            Assert.Equal(amplitudeError, wave.Amplitude.StandardError, 7);
            Assert.Equal(phase, wave.Phase.Value, 6);
            Assert.Equal(phaseError, wave.Phase.StandardError, 6);
        }
    }

    // By golden section; its error from the curvature of the sum of squares, ours to first order.
    [Fact]
    public void The_frequency()
    {
        HumFit fit = HumFitter.Fit(HumRows.Of(Times, Lines, ("x", Displacements)), 50, 3, true, new DiagnosticSink());
        Assert.Equal(50.07077531, fit.Frequency.Value, 1e-5);
        Assert.Equal(0.037206372, fit.Frequency.StandardError, 0.0015);
    }
}
