namespace PatternCompiler.Instrument;

/// <summary>
/// The places on the sample that the beam can be sent to: every pair of DAC codes is one. A rotated or skewed field
/// tilts the lattice; the axes then hold along the lines through the field's centre.
/// </summary>
/// <param name="X">Positions along the sample's x axis.</param>
/// <param name="Y">Positions along the sample's y axis.</param>
internal sealed record CodeLattice(CodeAxis X, CodeAxis Y);
