namespace PatternCompiler.Instrument;

/// <summary>
/// The places on the sample that the beam can be sent to: every pair of DAC codes is one. A rotated or skewed field
/// tilts the lattice; the axes then hold along the lines through the field's centre.
/// </summary>
/// <param name="X">Positions along the sample's x axis.</param>
/// <param name="Y">Positions along the sample's y axis.</param>
internal sealed record CodeLattice(CodeAxis X, CodeAxis Y);

/// <summary>Evenly spaced positions of DAC codes along one axis of the sample.</summary>
/// <param name="OriginFemtometres">Position of number 0, in femtometres from the field's centre.</param>
/// <param name="StepFemtometres">Distance between neighbouring codes, above 0. Numbers count towards larger positions.</param>
internal readonly record struct CodeAxis(double OriginFemtometres, double StepFemtometres)
{
    /// <summary>Position of a code, to the nearest femtometre.</summary>
    public long PositionOf(long number) => (long)Math.Floor(OriginFemtometres + number * StepFemtometres + 0.5);

    /// <summary>Where a position lies among the codes, as a real number.</summary>
    public double NumberAt(double femtometres) => (femtometres - OriginFemtometres) / StepFemtometres;
}
