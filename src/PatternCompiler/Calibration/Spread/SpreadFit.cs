using System.Collections.Immutable;

namespace PatternCompiler.Calibration.Spread;

/// <summary>
/// Two-Gaussian spread of the deposited energy, <c>exp(−r²/α²)/α² + η·exp(−r²/β²)/β²</c> up to a constant
/// (T. H. P. Chang, J. Vac. Sci. Technol. 12, 1271 (1975)). α and β are 1/e radii, √2 times a standard deviation.
/// </summary>
/// <param name="Forward">α, in nanometres, the spot taken out.</param>
/// <param name="Backscatter">β, in nanometres, the spot taken out.</param>
/// <param name="Ratio">η, backscattered energy over forward energy.</param>
/// <param name="RootMeanSquareResidual">Of ln(radius), over all measurements: about the relative error of a radius.</param>
/// <param name="LogCharge">Logarithm of the charge (fC) that clears a dot of vanishing radius times its forward density; the fit's fourth parameter.</param>
internal sealed record SpreadFit(
    FitParameter Forward,
    FitParameter Backscatter,
    FitParameter Ratio,
    double RootMeanSquareResidual,
    double LogCharge)
{
    /// <summary>Measurements beyond the four that the parameters need.</summary>
    public int DegreesOfFreedom { get; init; }

    /// <summary>
    /// Covariance of the logarithms of both ranges with the spot, of the ratio and of <see cref="LogCharge"/>, row by row.
    /// </summary>
    public ImmutableArray<double> LogCovariance { get; init; } = [];

    /// <summary>Spot that the dots were written with, full width at half maximum.</summary>
    public double SpotNanometres { get; init; }

    /// <summary>Forward range as the dots show it, with the spot.</summary>
    internal double ForwardWithSpot { get; init; }

    /// <summary>Backscattered range as the dots show it, with the spot.</summary>
    internal double BackscatterWithSpot { get; init; }

    /// <summary>
    /// Half width of the 95% confidence band of ln(radius) about a radius in nanometres; not a number without a spare
    /// measurement.
    /// </summary>
    public double LogBandHalfWidth(double radiusNanometres)
    {
        double[] slope = [.. Enumerable.Range(0, SpreadFitter.ParameterCount)
            .Select(i => DotModel.LogChargeSlope(radiusNanometres, i, ForwardWithSpot, BackscatterWithSpot, Ratio.Value))];
        double variance = 0;
        for (int i = 0; i < slope.Length; i++)
        {
            for (int j = 0; j < slope.Length; j++)
            {
                variance += slope[i] * LogCovariance[i * slope.Length + j] * slope[j];
            }
        }

        return ConfidenceInterval.HalfWidths(DegreesOfFreedom) * Math.Sqrt(variance) / DotModel.SlopeAt(radiusNanometres, ForwardWithSpot, BackscatterWithSpot, Ratio.Value);
    }

    /// <summary>Charge, in femtocoulombs, that by this fit clears a dot out to a radius in nanometres.</summary>
    public double ChargeForRadius(double radiusNanometres) =>
        Math.Exp(LogCharge - DotModel.LogSpread(radiusNanometres, ForwardWithSpot, BackscatterWithSpot, Ratio.Value));
}
