using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Checks;

/// <summary>Sees that no charge is lost or gained on the way from strokes to records.</summary>
internal static class ChargeBalance
{
    /// <summary>
    /// Throws if the ticks of the records differ from the charge of the strokes by more than the rounding of a remainder
    /// at every change of figure, half a tick each; with a drifting current the records lie between what its two readings
    /// would give.
    /// </summary>
    public static void Check(StrokeTotals strokes, ExposureTotals records, Clock clock, Beam beam)
    {
        double wanted = strokes.ChargeCoulombs / beam.CurrentAmperes * clock.Hertz;
        double atOtherCurrent = strokes.ChargeCoulombs / (beam.Later?.Amperes ?? beam.CurrentAmperes) * clock.Hertz;

        // The sums are exact; the last term is for the one division in doubles.
        double allowed = 0.5 * strokes.FigureChanges + 1e-12 * wanted + 1;
        bool isBalanced = records.ExposedTicks >= Math.Min(wanted, atOtherCurrent) - allowed
            && records.ExposedTicks <= Math.Max(wanted, atOtherCurrent) + allowed;
        if (!isBalanced)
        {
            throw new CompileException(
                CheckCodes.ChargeDiffers,
                $"the strokes carry {QuantityText.Format(strokes.ChargeCoulombs, Dimension.Charge, 12)}, which is {QuantityText.Format(wanted, Dimension.Ticks, 12)}, but the records expose {records.ExposedTicks} ticks");
        }

        if (strokes.Points != records.Points)
        {
            throw new CompileException(
                CheckCodes.ChargeDiffers, $"the strokes have {strokes.Points} points, but the records have {records.Points}");
        }
    }
}
