using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.BackEnds.Motion;

/// <summary>
/// Dwells as a controller keeps them, in whole multiples of its step, and what that does to doses. With the beam on the nearest multiple, so that
/// errors of many dwells even out; with the beam off the next one up, so that nothing is exposed before the deflection has settled.
/// </summary>
/// <param name="stepSeconds">The step; 0 to keep every dwell.</param>
internal sealed class DwellRounding(double stepSeconds)
{
    private const double PicosecondsPerSecond = 1e12;

    private readonly long step = (long)Math.Round(stepSeconds * PicosecondsPerSecond);
    private Int128 wanted;
    private Int128 given;
    private double lowest;
    private double highest;

    /// <summary>Exposing dwells that were changed.</summary>
    public long Changed { get; private set; }

    /// <summary>The dwell that is written.</summary>
    /// <param name="picoseconds">The dwell of the record.</param>
    /// <param name="isOn">It exposes.</param>
    /// <exception cref="CompileException">It would expose and vanish.</exception>
    public long Of(long picoseconds, bool isOn)
    {
        if (step == 0)
        {
            return picoseconds;
        }

        Int128 up = ((Int128)picoseconds + (isOn ? step / 2 : step - 1)) / step * step;
        if (up > long.MaxValue)
        {
            throw new CompileException(BackEndCodes.NotRepresentable, "a record lasts longer than 100 days");
        }

        long rounded = (long)up;
        if (isOn)
        {
            Count(picoseconds, rounded);
        }

        return rounded;
    }

    /// <summary>What became of the doses, in words; null where none has changed.</summary>
    public string? Summary() => Changed == 0
        ? null
        : $"{CountText.Of(Changed, "dwell", "dwells")} rounded to whole multiples of {QuantityText.Format(stepSeconds, Dimension.Time)}: " +
          $"doses of single points change by {Percent(lowest)} to {Percent(highest)}, of all dwells together by {Percent((double)(given - wanted) / (double)wanted)}";

    private void Count(long picoseconds, long rounded)
    {
        (wanted, given) = (wanted + picoseconds, given + rounded);
        if (rounded == picoseconds)
        {
            return;
        }

        if (rounded == 0)
        {
            throw new CompileException(
                BackEndCodes.NotRepresentable,
                $"a dwell of {Time(picoseconds)} is less than half of the {QuantityText.Format(stepSeconds, Dimension.Time)} that the controller keeps: the point would get no dose",
                fix: "make dwells longer, with a weaker beam or points farther apart");
        }

        double change = (double)rounded / picoseconds - 1;
        (lowest, highest) = (Math.Min(lowest, change), Math.Max(highest, change));
        Changed++;
    }

    private static string Time(long picoseconds) => QuantityText.Format(picoseconds / PicosecondsPerSecond, Dimension.Time);

    private static string Percent(double part) => (part > 0 ? "+" : "") + QuantityText.Format(100 * part, Dimension.Fraction, 3) + " %";
}
