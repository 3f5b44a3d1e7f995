using System.Collections.Immutable;

namespace PatternCompiler.Instrument;

/// <summary>
/// A literature-typical spread of 0.5 µm resist on silicon, as a starting point until a measurement of one's own
/// replaces it. Authors differ by 30% and more at one energy.
/// </summary>
/// <param name="EnergyKiloelectronvolts">Beam energy.</param>
/// <param name="Spread">α, β and η.</param>
/// <param name="IsInterpolated">β interpolated between tabulated energies by the power 1.7 of the energy.</param>
internal sealed record PublishedSpread(double EnergyKiloelectronvolts, SpreadFunction Spread, bool IsInterpolated)
{
    private const string Source =
        "M. A. McCord and M. J. Rooks, SPIE Handbook of Microlithography, Micromachining and Microfabrication, vol. 1 (1997), ch. 2 (values from memory)";

    /// <summary>Where the values come from.</summary>
    public static string SourceText => Source;

    /// <summary>Tabulated energies where the two-Gaussian fit is good, ascending.</summary>
    public static ImmutableArray<PublishedSpread> Table { get; } =
    [
        new(20, SpreadFunction.TwoGaussian(120, 2000, 0.74), false),
        new(50, SpreadFunction.TwoGaussian(24, 9500, 0.74), false),
        new(100, SpreadFunction.TwoGaussian(7, 31200, 0.74), false),
    ];

    /// <summary>
    /// A starting point for an energy between 15 and 100 keV, interpolated in the logarithms of energy and range; null
    /// outside, where no two-Gaussian set is published that fits well.
    /// </summary>
    public static PublishedSpread? For(double energyKiloelectronvolts)
    {
        if (Table.FirstOrDefault(t => t.EnergyKiloelectronvolts == energyKiloelectronvolts) is { } exact)
        {
            return exact;
        }

        if (energyKiloelectronvolts is not (>= 15 and <= 100))
        {
            return null;
        }

        int upper = energyKiloelectronvolts < Table[1].EnergyKiloelectronvolts ? 1 : 2;
        PublishedSpread low = Table[upper - 1];
        PublishedSpread high = Table[upper];
        double Between(Func<PublishedSpread, double> range)
        {
            double slope = Math.Log(range(high) / range(low)) / Math.Log(high.EnergyKiloelectronvolts / low.EnergyKiloelectronvolts);
            return range(low) * Math.Pow(energyKiloelectronvolts / low.EnergyKiloelectronvolts, slope);
        }

        return new PublishedSpread(
            energyKiloelectronvolts,
            SpreadFunction.TwoGaussian(
                Between(s => s.Spread.Terms[0].RangeNanometres),
                Between(s => s.Spread.Terms[1].RangeNanometres),
                low.Spread.Terms[1].Ratio),
            true);
    }
}
