namespace PatternCompiler.Passes.Scale;

/// <summary>Constants of the relation between charge, dwell and electrons.</summary>
internal static class ExposureArithmetic
{
    /// <summary>Coulombs in a zeptocoulomb.</summary>
    public const double CoulombsPerZeptocoulomb = 1e-21;

    /// <summary>Charge of one electron in coulombs (exact in the SI of 2019).</summary>
    public const double ElementaryChargeCoulombs = 1.602176634e-19;
}
