using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Checks;

/// <summary>
/// Compares a backscattered range with the range of electrons in the substrate. The ratio of the two is 0.42 to 0.45 for
/// the published sets of 20, 50 and 100 keV in <see cref="PublishedSpread"/>.
/// </summary>
internal static class SpreadCheck
{
    private const double Smallest = 0.25;
    private const double Largest = 0.75;
    private const double MetresPerNanometre = 1e-9;

    /// <summary>Warns if the widest Gaussian of a process's spread does not suit its substrate; says nothing if one is unknown.</summary>
    /// <param name="process">The process.</param>
    /// <param name="energyElectronvolts">Beam energy.</param>
    /// <param name="sink">Takes the warning.</param>
    public static void Run(Resist process, double energyElectronvolts, DiagnosticSink sink)
    {
        if (process is { Spread: SpreadFunction spread, Substrate: Substrate substrate })
        {
            Run(spread.Terms.Where(term => term.Shape == SpreadShape.Gaussian).Max(term => term.RangeNanometres), substrate, energyElectronvolts, sink);
        }
    }

    /// <summary>The same for one backscattered range.</summary>
    public static void Run(double backscatterNanometres, Substrate substrate, double energyElectronvolts, DiagnosticSink sink)
    {
        double range = substrate.RangeNanometres(energyElectronvolts / 1000);
        if (backscatterNanometres < Smallest * range || backscatterNanometres > Largest * range)
        {
            sink.Warn(
                CheckCodes.BackscatterImplausible,
                $"a backscattered range of {Length(backscatterNanometres)} does not suit {NumberText.Format(energyElectronvolts / 1000)} keV on {substrate.Name}, where electrons reach {Length(range)}: "
                + $"{Length(Smallest * range)} to {Length(Largest * range)} would",
                fix: "check 'spread.backscatter' (a 1/e radius) and 'substrate' of the process and 'beam.energy' of the machine");
        }
    }

    private static string Length(double nanometres) => QuantityText.Format(nanometres * MetresPerNanometre, Dimension.Length, 3);
}
