namespace PatternCompiler.Instrument;

/// <summary>
/// How a resist's thickness after development falls (or rises) with dose: straight against log10(dose) between two
/// doses. Contrast γ = 1/|log10(clearing/onset)| (Thompson, Willson, Bowden, Introduction to Microlithography, 2nd ed.,
/// ACS 1994).
/// </summary>
/// <param name="Tone">Positive or negative.</param>
/// <param name="OnsetCoulombsPerSquareMetre">Dose at which the thickness starts to change.</param>
/// <param name="ClearingCoulombsPerSquareMetre">Dose at which the resist is gone (positive) or whole (negative).</param>
public sealed record ResistContrast(ResistTone Tone, double OnsetCoulombsPerSquareMetre, double ClearingCoulombsPerSquareMetre)
{
    /// <summary>γ.</summary>
    public double Contrast => 1 / Math.Abs(Math.Log10(ClearingCoulombsPerSquareMetre / OnsetCoulombsPerSquareMetre));

    /// <summary>Remaining part of the thickness, 0 to 1, at a dose.</summary>
    public double RemainingFraction(double doseCoulombsPerSquareMetre)
    {
        double changed = doseCoulombsPerSquareMetre <= OnsetCoulombsPerSquareMetre ? 0
            : doseCoulombsPerSquareMetre >= ClearingCoulombsPerSquareMetre ? 1
            : Contrast * Math.Log10(doseCoulombsPerSquareMetre / OnsetCoulombsPerSquareMetre);
        return Tone == ResistTone.Positive ? 1 - changed : changed;
    }
}
