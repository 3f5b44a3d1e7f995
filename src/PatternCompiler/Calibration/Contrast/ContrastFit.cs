using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.Contrast;

/// <summary>
/// What a contrast curve says of a resist. Definition: γ = 1 / |log10(clearing dose / onset dose)|
/// (Thompson, Willson, Bowden, Introduction to Microlithography, 2nd ed., ACS 1994).
/// </summary>
/// <param name="Tone">Positive resist thins with dose, negative resist stays.</param>
/// <param name="Onset">Dose at which the slope leaves the unexposed plateau, in µC/cm².</param>
/// <param name="Clearing">Dose at which it reaches the exposed plateau (cleared, or fully retained), in µC/cm².</param>
/// <param name="Contrast">γ.</param>
/// <param name="Thickness">Thickness of the plateau, in nanometres.</param>
/// <param name="RootMeanSquareResidual">Of the thickness as a fraction, over all measurements.</param>
internal sealed record ContrastFit(
    ResistTone Tone,
    FitParameter Onset,
    FitParameter Clearing,
    FitParameter Contrast,
    FitParameter Thickness,
    double RootMeanSquareResidual)
{
    /// <summary>True if the thickness was stated and not fitted.</summary>
    public bool IsThicknessGiven { get; init; }

    /// <summary>Measurements beyond the parameters.</summary>
    public int DegreesOfFreedom { get; init; }

    /// <summary>The fitted response.</summary>
    public ResistResponse Response => new(Tone, Onset.Value * CoulombsPerSquareMetre, Clearing.Value * CoulombsPerSquareMetre)
    {
        ThicknessNanometres = Thickness.Value,
    };

    /// <summary>Half width of the 95% confidence band of the slope at a dose, as a part of the thickness.</summary>
    internal Func<double, double> Band { get; init; } = _ => double.NaN;

    private const double CoulombsPerSquareMetre = 0.01;

    /// <summary>
    /// Half width of the 95% confidence band of the slope at a dose, as a fraction of the thickness; not a number without a spare
    /// measurement.
    /// </summary>
    public double BandHalfWidth(double doseMicrocoulombsPerSquareCentimetre) => Band(doseMicrocoulombsPerSquareCentimetre);

    /// <summary>Remaining thickness fraction at a dose by the fitted curve.</summary>
    public double RemainingFraction(double doseMicrocoulombsPerSquareCentimetre) =>
        Response.RemainingFraction(doseMicrocoulombsPerSquareCentimetre * CoulombsPerSquareMetre);
}
