using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Checks;

/// <summary>
/// Compares a stated forward range with the one that thickness and energy give (<see cref="ForwardScattering"/>). The rule and the
/// published ranges differ by up to 1.5, readings of its diameter by 1.7.
/// </summary>
internal static class ForwardCheck
{
    private const double AllowedFactor = 2;
    private const double MetresPerNanometre = 1e-9;

    /// <summary>Warns if the forward range is less than half or more than twice the expected one; says nothing if a part is unknown.</summary>
    /// <param name="process">The process.</param>
    /// <param name="energyElectronvolts">Beam energy.</param>
    /// <param name="sink">Takes the warning.</param>
    public static void Run(Resist process, double energyElectronvolts, DiagnosticSink sink)
    {
        if (process is { Spread: SpreadFunction spread, IsForwardDerived: false, Response.ThicknessNanometres: double thickness })
        {
            double stated = spread.Terms[0].RangeNanometres;
            double expected = ForwardScattering.RangeNanometres(thickness, energyElectronvolts);
            if (stated < expected / AllowedFactor || stated > expected * AllowedFactor)
            {
                sink.Warn(
                    CheckCodes.ForwardImplausible,
                    $"a forward range of {Length(stated)} does not suit {Length(thickness)} of resist at {NumberText.Format(energyElectronvolts / 1000)} keV: "
                    + $"about {Length(expected)} would, {Length(expected / AllowedFactor)} to {Length(expected * AllowedFactor)} at most",
                    fix: "check 'spread.forward' (a 1/e radius without the spot) and 'resist.thickness' of the process and 'beam.energy' of the machine; without 'spread.forward' it follows from the other two");
            }
        }
    }

    private static string Length(double nanometres) => QuantityText.Format(nanometres * MetresPerNanometre, Dimension.Length, 3);
}
