using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Timing;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>Says which figures do not get the charge that they ask for, how much is amiss, why, and what would fix it.</summary>
internal static class FigureChargeReport
{
    private const double DriftPart = 1e-4;

    /// <summary>One warning for all figures of a document.</summary>
    /// <param name="charge">Asked and delivered charge of the figures.</param>
    /// <param name="timing">What compensated the blanker, or null.</param>
    /// <param name="machine">The machine.</param>
    /// <param name="sink">Takes the warning.</param>
    public static void Report(FigureCharge charge, BlankerTiming? timing, Machine machine, DiagnosticSink sink)
    {
        int count = 0;
        (int Figure, double Asked, double ExcessTicks, double Relative) worst = default;
        double allowed = AllowedTicks(machine);
        foreach ((int figure, double asked, double excess) in charge.Differences())
        {
            double ticks = asked / charge.TickCoulombs;

            // The last two terms are for the rounding of doubles; and ticks that are taken back at another time weigh a little
            // differently while the current drifts, far less than the drift is known.
            if (Math.Abs(excess) <= allowed + 1e-6 + (machine.Beam.Later is null ? 1e-12 : DriftPart) * ticks)
            {
                continue;
            }

            count++;
            if (Math.Abs(excess / ticks) > Math.Abs(worst.Relative))
            {
                worst = (figure, asked, excess, excess / ticks);
            }
        }

        if (count == 0)
        {
            return;
        }

        string figures = count == 1 ? $"figure {worst.Figure} gets" : $"{count} figures get";
        string most = count == 1 ? "" : $"figure {worst.Figure} is off most: it gets ";
        string amount = $"{QuantityText.Format(Math.Abs(worst.ExcessTicks) * charge.TickCoulombs, Dimension.Charge, 3)} "
            + $"({QuantityText.Format(Math.Abs(worst.ExcessTicks), Dimension.Ticks, 3)}, {QuantityText.Format(100 * Math.Abs(worst.Relative), Dimension.Fraction, 3)}%) {(worst.ExcessTicks > 0 ? "more" : "less")} than asked";
        if (timing is null)
        {
            string wrong = count == 1 ? amount : $"another charge than asked; {most}{amount}";
            sink.Warn(
                OrderCodes.DelaysLeft,
                $"the delays of the blanker are not compensated: {figures} {wrong}",
                SourcePlace.OfFigure(worst.Figure),
                fix: "set 'compensate: yes' for the blanker in the machine file",
                count: count);
            return;
        }

        string tooMuch = count == 1 ? amount : $"more charge than asked; {most}{amount}";
        sink.Warn(
            OrderCodes.BlankerTooSlow,
            $"the blanker is too slow for so short dwells: {figures} {tooMuch}",
            SourcePlace.OfFigure(worst.Figure),
            fix: Remedy(timing, machine),
            count: count);
    }

    /// <summary>
    /// Half a tick; as much again where delays that are not whole ticks, or a leak, have to be compensated in whole ones. Ticks
    /// are those of the first current, and rounding is at the current of its time.
    /// </summary>
    private static double AllowedTicks(Machine machine)
    {
        double half = 0.5 * Math.Max(1, (machine.Beam.Later?.Amperes ?? 0) / machine.Beam.CurrentAmperes);
        Blanker blanker = machine.Blanker;
        bool isWhole = blanker is { FocusedLeakFraction: 0, RiseSeconds: 0, FallSeconds: 0 } && IsWhole(blanker.OffDelaySeconds) && IsWhole(blanker.OnDelaySeconds);
        return !blanker.IsPresent || !blanker.IsCompensated || isWhole ? half : 2 * half;

        bool IsWhole(double seconds) => Math.Abs(seconds * machine.Clock.Hertz - Math.Round(seconds * machine.Clock.Hertz)) < 1e-6;
    }

    /// <summary>
    /// What leaves the strokes as they are. With less current areas would be divided more finely, and no number would be sure.
    /// </summary>
    private static string Remedy(BlankerTiming timing, Machine machine)
    {
        var parts = new List<string>();
        if (timing.Excess.OffDelayTicks < long.MaxValue)
        {
            parts.Add($"turn the beam off with a delay of at most {QuantityText.Format(timing.Excess.OffDelayTicks / machine.Clock.Hertz, Dimension.Time, 6)}");
        }

        if (machine.Blanker.FocusedLeakFraction > 0)
        {
            parts.Add($"stop the leak of {QuantityText.Format(100 * machine.Blanker.FocusedLeakFraction, Dimension.Fraction, 3)}%");
        }

        return parts.Count > 0 ? string.Join(" and ", parts) : "use a faster clock if so little matters: it comes from rounding to ticks";
    }
}
