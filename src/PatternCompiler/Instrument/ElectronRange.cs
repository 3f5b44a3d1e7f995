namespace PatternCompiler.Instrument;

/// <summary>
/// Penetration depth of electrons, to judge whether a fitted backscatter range is plausible:
/// R = 0.0276·A·E^1.67/(Z^0.89·ρ), in µm for E in keV and ρ in g/cm³ (K. Kanaya and S. Okayama, J. Phys. D: Appl.
/// Phys. 5, 43 (1972), short form without the relativistic factor; 10 to 1000 keV).
/// </summary>
internal static class ElectronRange
{
    /// <summary>Range in an element or, with mass-averaged values, a compound, in nanometres.</summary>
    /// <param name="atomicWeight">A, in g/mol.</param>
    /// <param name="atomicNumber">Z.</param>
    /// <param name="densityGramsPerCubicCentimetre">ρ.</param>
    public static double Nanometres(
        double energyKiloelectronvolts, double atomicWeight, double atomicNumber, double densityGramsPerCubicCentimetre) =>
        27.6 * atomicWeight * Math.Pow(energyKiloelectronvolts, 1.67) / (Math.Pow(atomicNumber, 0.89) * densityGramsPerCubicCentimetre);
}
