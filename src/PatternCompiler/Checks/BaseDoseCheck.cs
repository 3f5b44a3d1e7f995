using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Checks;

/// <summary>
/// Compares the base dose with the dose at which the resist prints: the edge of a large area sees half of the base dose, so that a
/// base dose of twice the printing dose puts edges where they are drawn.
/// </summary>
internal static class BaseDoseCheck
{
    /// <summary>Edges of large areas may land so far off, as a part of the forward 1/e radius with the spot.</summary>
    private const double AllowedPart = 0.25;
    private const double MetresPerNanometre = 1e-9;

    /// <summary>Warns if large areas do not print, or if their edges land further off than a quarter of the forward radius.</summary>
    /// <param name="process">Base dose, response and spread; where the spread is unknown the spot alone widens the beam.</param>
    /// <param name="layer">the layer whose base dose this is; null for that of the process.</param>
    /// <param name="beam">The beam.</param>
    /// <param name="sink">Takes the warning.</param>
    public static void Run(Resist process, string? layer, Beam beam, DiagnosticSink sink)
    {
        SpreadFunction spread = process.SpreadWith(beam);
        double printing = process.Response.PrintingCoulombsPerSquareMetre;
        double dose = process.AreaDoseCoulombsPerSquareMetre;
        double allowed = AllowedPart * spread.Terms[0].RangeNanometres;
        double? shift = LargeAreaEdge.ShiftNanometres(spread, printing / dose);
        if (shift is double near && Math.Abs(near) <= allowed)
        {
            return;
        }

        string areas = layer is null ? "large areas" : $"large areas on layer '{layer}'";
        string key = layer is null ? "dose.area" : "area_dose";
        string rule = $"{process.Response.PrintingRule} from {Dose(printing)} on";
        string lands = shift switch
        {
            null => $"nothing of {areas} prints at the base dose of {Dose(dose)}: {rule}",
            double far => $"the edges of {areas} print {Length(Math.Abs(far))} {(far > 0 ? "outside" : "inside")} of where they are drawn: they receive half of the base dose of {Dose(dose)}, and {rule}",
        };
        sink.Warn(
            CheckCodes.BaseDoseMovesEdges,
            lands,
            fix: $"a base dose ('{key}') of {Dose(2 * printing)} prints them where they are drawn, one from {Dose(printing / LargeAreaEdge.EnergyAt(spread, -allowed))} "
            + $"to {Dose(printing / LargeAreaEdge.EnergyAt(spread, allowed))} within {Length(allowed)}; or have doses corrected ('correct' in the job)");
    }

    private static string Dose(double coulombsPerSquareMetre) => QuantityText.Format(coulombsPerSquareMetre, Dimension.AreaDose, 3);

    private static string Length(double nanometres) => QuantityText.Format(nanometres * MetresPerNanometre, Dimension.Length, 3);
}
