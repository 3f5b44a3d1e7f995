namespace PatternCompiler.Instrument;

/// <summary>The beam as measured on the sample.</summary>
/// <param name="CurrentAmperes">Beam current.</param>
/// <param name="SpotNanometres">Spot size, full width at half maximum.</param>
/// <param name="EnergyElectronvolts">Beam energy.</param>
public sealed record Beam(double CurrentAmperes, double SpotNanometres, double EnergyElectronvolts)
{
    /// <summary>A second reading; between the two the current is taken to change evenly, and to stay after the second.</summary>
    public CurrentReading? Later { get; init; }

    /// <summary>Current at a time since the start of writing.</summary>
    public double CurrentAt(double seconds) => Later is null
        ? CurrentAmperes
        : CurrentAmperes + (Later.Amperes - CurrentAmperes) * Math.Clamp(seconds / Later.Seconds, 0, 1);
}
