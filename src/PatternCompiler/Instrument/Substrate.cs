using System.Collections.Immutable;

namespace PatternCompiler.Instrument;

/// <summary>What lies under the resist, as far as the range of electrons depends on it.</summary>
/// <param name="Name">Name in a process file.</param>
/// <param name="AtomicWeight">A in g/mol; of compounds the mean by mass.</param>
/// <param name="AtomicNumber">Z; of compounds the mean by mass.</param>
/// <param name="DensityGramsPerCubicCentimetre">ρ.</param>
public sealed record Substrate(string Name, double AtomicWeight, double AtomicNumber, double DensityGramsPerCubicCentimetre)
{
    /// <summary>Materials that a process file can name. Atomic weights and densities are handbook values, from memory; glass is one of 81 % silica, 13 % boron, 4 % sodium and 2 % aluminium oxide by weight.</summary>
    public static ImmutableArray<Substrate> Known { get; } =
    [
        new("silicon", 28.085, 14, 2.33),
        new("fused silica", 21.65, 10.80, 2.20) { IsInsulating = true },
        new("glass", 20.69, 10.29, 2.23) { IsInsulating = true },
        new("sapphire", 21.81, 10.65, 3.98) { IsInsulating = true },
        new("gallium arsenide", 72.42, 32.04, 5.32),
        new("germanium", 72.63, 32, 5.32),
        new("aluminium", 26.982, 13, 2.70),
        new("copper", 63.546, 29, 8.96),
        new("gold", 196.97, 79, 19.3),
    ];

    /// <summary>Charge that stops in it stays there.</summary>
    public bool IsInsulating { get; init; }

    /// <summary>Range of electrons in it, in nanometres.</summary>
    public double RangeNanometres(double energyKiloelectronvolts) =>
        ElectronRange.Nanometres(energyKiloelectronvolts, AtomicWeight, AtomicNumber, DensityGramsPerCubicCentimetre);
}
