namespace PatternCompiler.Instrument;

/// <summary>Resist and base doses of a process.</summary>
/// <param name="Name">Name given in the process file.</param>
/// <param name="AreaDoseCoulombsPerSquareMetre">Area dose, of which the edge of a large area receives half; 1 µC/cm² is 0.01 C/m².</param>
/// <param name="LineDoseCoulombsPerMetre">Dose of single lines; 1 pC/cm is 1e-10 C/m.</param>
/// <param name="DotChargeCoulombs">Charge of single dots.</param>
/// <param name="Response">What development makes of a dose.</param>
/// <param name="Spread">Energy spread of an ideally fine beam in this resist on its substrate, the spot never in it; null if unknown.</param>
public sealed record Resist(
    string Name,
    double AreaDoseCoulombsPerSquareMetre,
    double LineDoseCoulombsPerMetre,
    double DotChargeCoulombs,
    ResistResponse Response,
    SpreadFunction? Spread = null)
{
    /// <summary>What it lies on; null if unknown.</summary>
    public Substrate? Substrate { get; init; }

    /// <summary>
    /// Full width at half maximum of a beam in the resist: a beam spreads as it comes in. The spot alone where scattering
    /// is unknown.
    /// </summary>
    public double BlurNanometres(double spotNanometres) => Spread is null
        ? spotNanometres
        : Spread.WithSpot(spotNanometres).Terms[0].RangeNanometres * SpreadFunction.HalfMaximumWidthPerRange;

    /// <summary>Energy spread of a beam of finite spot; the spot alone where the spread is unknown.</summary>
    public SpreadFunction SpreadWith(Beam beam) => Spread?.WithSpot(beam.SpotNanometres)
        ?? new SpreadFunction([new SpreadTerm(SpreadShape.Gaussian, beam.SpotNanometres / SpreadFunction.HalfMaximumWidthPerRange, 1)]);
}
