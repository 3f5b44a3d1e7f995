using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

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
    /// <summary>
    /// True if the forward range is not stated but follows from thickness and beam energy; until the energy is known
    /// (<see cref="WrittenAt"/>) it is 0.
    /// </summary>
    public bool IsForwardDerived { get; init; }

    internal IEnumerable<SettingLine> Lines =>
    [
        new("dose", AreaDoseCoulombsPerSquareMetre, LineDoseCoulombsPerMetre, DotChargeCoulombs),
        new("resist", (int)Response.Tone, Response.OnsetCoulombsPerSquareMetre, Response.ClearingCoulombsPerSquareMetre),
        new("spread", [.. Spread?.Terms.SelectMany(term => new[] { (int)term.Shape, term.RangeNanometres, term.Ratio }) ?? []]),
    ];

    /// <summary>The process at a beam energy, on which a derived forward range depends.</summary>
    /// <param name="energyElectronvolts">Beam energy.</param>
    /// <exception cref="CompileException">The film is so thick that forward scattering would be wider than backscattering.</exception>
    public Resist WrittenAt(double energyElectronvolts)
    {
        if (!IsForwardDerived || Spread is null || Response.ThicknessNanometres is not double thickness)
        {
            return this;
        }

        double forward = ForwardScattering.RangeNanometres(thickness, energyElectronvolts);
        return Spread.Terms.Skip(1).All(term => term.RangeNanometres > forward)
            ? this with { Spread = new SpreadFunction(Spread.Terms.SetItem(0, Spread.Terms[0] with { RangeNanometres = forward })) }
            : throw new CompileException(
                JobCodes.ValueOutOfRange,
                $"'resist.thickness' of {QuantityText.Format(thickness * 1e-9, Dimension.Length, 3)} at {NumberText.Format(energyElectronvolts / 1000)} keV gives a forward range of {QuantityText.Format(forward * 1e-9, Dimension.Length, 3)}, "
                + "which must be the smallest range of 'spread'",
                fix: "state 'spread.forward' as measured, or correct 'resist.thickness' of the process or 'beam.energy' of the machine");
    }

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
