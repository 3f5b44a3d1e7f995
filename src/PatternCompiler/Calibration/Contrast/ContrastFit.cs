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
    /// <summary>Mean of log10(dose) over the measurements on the slope: there level and slope are independent.</summary>
    public double CentreLogDose { get; init; }

    /// <summary>Standard error of the remaining fraction at that dose.</summary>
    public double LevelStandardError { get; init; } = double.NaN;

    /// <summary>Measurements on the slope beyond the two that a line needs.</summary>
    public int DegreesOfFreedom { get; init; }

    /// <summary>
    /// Half width of the 95% confidence band of the slope's line at a dose, as a fraction of the thickness; not a number
    /// without a spare measurement.
    /// </summary>
    public double BandHalfWidth(double doseMicrocoulombsPerSquareCentimetre)
    {
        double offset = Math.Log10(doseMicrocoulombsPerSquareCentimetre) - CentreLogDose;
        double sloped = offset * Contrast.StandardError;
        return ConfidenceInterval.HalfWidths(DegreesOfFreedom) * Math.Sqrt(LevelStandardError * LevelStandardError + sloped * sloped);
    }

    /// <summary>Remaining thickness fraction at a dose by the fitted curve.</summary>
    public double RemainingFraction(double doseMicrocoulombsPerSquareCentimetre)
    {
        double slope = Contrast.Value * Math.Log10(doseMicrocoulombsPerSquareCentimetre / Onset.Value);
        return Math.Clamp(Tone == ResistTone.Positive ? 1 - slope : slope, 0, 1);
    }
}
