namespace PatternCompiler.Instrument;

/// <summary>
/// What development makes of a dose: nothing up to the onset, all from the clearing dose on, straight against log10(dose)
/// between. Doses are those of large areas, where scattered electrons are in full. Contrast γ = 1/log10(clearing/onset)
/// (Thompson, Willson, Bowden, Introduction to Microlithography, 2nd ed., ACS 1994). Everything that judges what prints asks here.
/// </summary>
/// <param name="Tone">Positive or negative.</param>
/// <param name="OnsetCoulombsPerSquareMetre">Dose at which the thickness starts to change; stray dose is compared with it.</param>
/// <param name="ClearingCoulombsPerSquareMetre">Dose from which the resist is gone (positive) or whole (negative).</param>
public sealed record ResistResponse(ResistTone Tone, double OnsetCoulombsPerSquareMetre, double ClearingCoulombsPerSquareMetre)
{
    /// <summary>Thickness of the film before exposure; null if unknown.</summary>
    public double? ThicknessNanometres { get; init; }

    /// <summary>γ.</summary>
    public double Contrast => 1 / Math.Log10(ClearingCoulombsPerSquareMetre / OnsetCoulombsPerSquareMetre);

    /// <summary>
    /// Dose at whose energy the printed outline lies: a positive resist is open where it is gone, from the clearing dose on; a
    /// negative one stands where half of its thickness or more remains, from the geometric mean of onset and clearing dose on.
    /// </summary>
    public double PrintingCoulombsPerSquareMetre => Tone == ResistTone.Positive
        ? ClearingCoulombsPerSquareMetre
        : Math.Sqrt(OnsetCoulombsPerSquareMetre * ClearingCoulombsPerSquareMetre);

    /// <summary>What <see cref="PrintingCoulombsPerSquareMetre"/> means for the tone, for reports.</summary>
    public string PrintingRule => Tone == ResistTone.Positive ? "a positive resist is gone" : "half of a negative resist remains";

    /// <summary>Remaining part of the thickness, 0 to 1, at a dose.</summary>
    public double RemainingFraction(double doseCoulombsPerSquareMetre)
    {
        double changed = doseCoulombsPerSquareMetre <= OnsetCoulombsPerSquareMetre ? 0
            : doseCoulombsPerSquareMetre >= ClearingCoulombsPerSquareMetre ? 1
            : Contrast * Math.Log10(doseCoulombsPerSquareMetre / OnsetCoulombsPerSquareMetre);
        return Tone == ResistTone.Positive ? 1 - changed : changed;
    }

    /// <summary>
    /// Dose of a large area that leaves a part of the thickness, the inverse of <see cref="RemainingFraction"/>: 0 where nothing is to
    /// change, the clearing dose where all is.
    /// </summary>
    /// <param name="remaining">Part that is to remain, 0 to 1.</param>
    public double DoseLeaving(double remaining)
    {
        double changed = Tone == ResistTone.Positive ? 1 - remaining : remaining;
        return changed <= 0 ? 0 : OnsetCoulombsPerSquareMetre * Math.Pow(ClearingCoulombsPerSquareMetre / OnsetCoulombsPerSquareMetre, Math.Min(1, changed));
    }
}

/// <summary>What exposure does to a resist.</summary>
public enum ResistTone
{
    /// <summary>Exposed resist dissolves.</summary>
    Positive,

    /// <summary>Exposed resist stays.</summary>
    Negative,
}
