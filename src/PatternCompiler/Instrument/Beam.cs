namespace PatternCompiler.Instrument;

/// <summary>The beam as measured on the sample.</summary>
/// <param name="CurrentAmperes">Beam current.</param>
/// <param name="SpotNanometres">Spot size, full width at half maximum.</param>
/// <param name="EnergyElectronvolts">Beam energy.</param>
public sealed record Beam(double CurrentAmperes, double SpotNanometres, double EnergyElectronvolts);
