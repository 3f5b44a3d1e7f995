namespace PatternCompiler.Calibration.Spread;

/// <summary>
/// Two-Gaussian spread of the deposited energy, <c>exp(−r²/α²)/α² + η·exp(−r²/β²)/β²</c> up to a constant
/// (T. H. P. Chang, J. Vac. Sci. Technol. 12, 1271 (1975)). α and β are 1/e radii, √2 times a standard deviation.
/// </summary>
/// <param name="Forward">α, in nanometres.</param>
/// <param name="Backscatter">β, in nanometres.</param>
/// <param name="Ratio">η, backscattered energy over forward energy.</param>
/// <param name="RootMeanSquareResidual">Of ln(charge), over all measurements: about the relative error of a dot's charge.</param>
/// <param name="LogCharge">Logarithm of the charge (fC) that clears a dot of vanishing radius times its forward density; the fit's fourth parameter.</param>
public sealed record SpreadFit(
    FitParameter Forward,
    FitParameter Backscatter,
    FitParameter Ratio,
    double RootMeanSquareResidual,
    double LogCharge)
{
    /// <summary>Charge, in femtocoulombs, that by this fit clears a dot out to a radius in nanometres.</summary>
    public double ChargeForRadius(double radiusNanometres) =>
        Math.Exp(LogCharge - SpreadFitter.LogSpread(radiusNanometres, Forward.Value, Backscatter.Value, Ratio.Value));
}
