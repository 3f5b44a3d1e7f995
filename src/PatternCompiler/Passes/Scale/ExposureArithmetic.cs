namespace PatternCompiler.Passes.Scale;

/// <summary>
/// The relations between dose, beam current, spacing and time, in SI units: area dose D = I·t/(p·s), line dose
/// D = I·t/s, dot charge Q = I·t, with beam current I, dwell t, line pitch p and point step s. They follow from the
/// definition of dose as charge per area or length (M. A. McCord, M. J. Rooks, ch. 2 of the SPIE Handbook of
/// Microlithography, Micromachining and Microfabrication, vol. 1, 1997).
/// </summary>
public static class ExposureArithmetic
{
    /// <summary>Coulombs in a zeptocoulomb.</summary>
    public const double CoulombsPerZeptocoulomb = 1e-21;

    /// <summary>Charge of one electron in coulombs (exact in the SI of 2019).</summary>
    public const double ElementaryChargeCoulombs = 1.602176634e-19;

    /// <summary>Dwell of one point of an area, in seconds.</summary>
    public static double AreaDwellSeconds(
        double doseCoulombsPerSquareMetre, double pitchMetres, double stepMetres, double currentAmperes) =>
        doseCoulombsPerSquareMetre * pitchMetres * stepMetres / currentAmperes;

    /// <summary>Dwell of one point of a single line, in seconds.</summary>
    public static double LineDwellSeconds(double doseCoulombsPerMetre, double stepMetres, double currentAmperes) =>
        doseCoulombsPerMetre * stepMetres / currentAmperes;

    /// <summary>Dwell of a dot, in seconds.</summary>
    public static double DotDwellSeconds(double chargeCoulombs, double currentAmperes) => chargeCoulombs / currentAmperes;

    /// <summary>Speed of the beam along the lines of an area, in metres per second: v = I/(D·p).</summary>
    public static double BeamSpeedMetresPerSecond(
        double doseCoulombsPerSquareMetre, double pitchMetres, double currentAmperes) =>
        currentAmperes / (doseCoulombsPerSquareMetre * pitchMetres);

    /// <summary>Beam-on time of an area, in seconds: T = D·A/I.</summary>
    public static double ExposureSeconds(
        double doseCoulombsPerSquareMetre, double areaSquareMetres, double currentAmperes) =>
        doseCoulombsPerSquareMetre * areaSquareMetres / currentAmperes;

    /// <summary>Largest beam current for which a point's dwell is not below the shortest one, in amperes.</summary>
    public static double LargestCurrentAmperes(
        double doseCoulombsPerSquareMetre, double pitchMetres, double stepMetres, double shortestDwellSeconds) =>
        doseCoulombsPerSquareMetre * pitchMetres * stepMetres / shortestDwellSeconds;

    /// <summary>Mean number of electrons that an area receives.</summary>
    public static double Electrons(double doseCoulombsPerSquareMetre, double areaSquareMetres) =>
        doseCoulombsPerSquareMetre * areaSquareMetres / ElementaryChargeCoulombs;

    /// <summary>
    /// Relative standard deviation of the number of electrons that an area receives (Poisson statistics): 1/√N.
    /// </summary>
    public static double ShotNoise(double doseCoulombsPerSquareMetre, double areaSquareMetres) =>
        1 / Math.Sqrt(Electrons(doseCoulombsPerSquareMetre, areaSquareMetres));
}
