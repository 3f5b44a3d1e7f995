using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.Contrast;

/// <summary>
/// What a contrast curve says of a resist. Definition: γ = 1 / |log10(clearing dose / onset dose)|
/// (Thompson, Willson, Bowden, Introduction to Microlithography, 2nd ed., ACS 1994).
/// </summary>
/// <param name="Tone">Positive resist thins with dose, negative resist stays.</param>
/// <param name="Onset">Dose at which the extrapolated slope leaves the unexposed plateau, in µC/cm².</param>
/// <param name="Clearing">Dose at which it reaches the exposed plateau (cleared, or fully retained), in µC/cm².</param>
/// <param name="Contrast">γ.</param>
/// <param name="InitialThicknessNanometres">Thickness that counts as 1.</param>
/// <param name="RootMeanSquareResidual">Of the remaining thickness fraction, over all measurements.</param>
/// <param name="FirstSlopeMeasurement">Index, by rising dose, of the first measurement on the slope.</param>
/// <param name="LastSlopeMeasurement">Index of the last measurement on the slope.</param>
public sealed record ContrastFit(
    ResistTone Tone,
    FitParameter Onset,
    FitParameter Clearing,
    FitParameter Contrast,
    double InitialThicknessNanometres,
    double RootMeanSquareResidual,
    int FirstSlopeMeasurement,
    int LastSlopeMeasurement)
{
    /// <summary>Remaining thickness fraction at a dose by the fitted curve.</summary>
    public double RemainingFraction(double doseMicrocoulombsPerSquareCentimetre)
    {
        double slope = Contrast.Value * Math.Log10(doseMicrocoulombsPerSquareCentimetre / Onset.Value);
        return Math.Clamp(Tone == ResistTone.Positive ? 1 - slope : slope, 0, 1);
    }
}
