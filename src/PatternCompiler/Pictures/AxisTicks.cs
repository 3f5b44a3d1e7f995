using System.Globalization;

namespace PatternCompiler.Pictures;

/// <summary>Round places for ticks: steps of 1, 2 or 5 times a power of ten.</summary>
/// <param name="StepNanometres">From tick to tick.</param>
/// <param name="First">Number of the first tick inside the range; tick k stands at k steps.</param>
/// <param name="Last">Number of the last tick inside the range.</param>
/// <param name="Decimals">Decimals that a label in micrometres needs.</param>
internal readonly record struct AxisTicks(double StepNanometres, long First, long Last, int Decimals)
{
    /// <summary>Ticks about <paramref name="spacing"/> nanometres apart, or a little more.</summary>
    public static AxisTicks Choose(double from, double to, double spacing)
    {
        int power = (int)Math.Floor(Math.Log10(spacing));
        double unit = Math.Pow(10, power);
        (double step, int leading) = (spacing / unit) switch
        {
            <= 1 => (unit, 1),
            <= 2 => (2 * unit, 2),
            <= 5 => (5 * unit, 5),
            _ => (10 * unit, 10),
        };
        int decimals = Math.Max(0, 3 - power - (leading == 10 ? 1 : 0));
        return new AxisTicks(step, (long)Math.Ceiling(from / step - 1e-9), (long)Math.Floor(to / step + 1e-9), decimals);
    }

    /// <summary>Longest round length (1, 2 or 5 times a power of ten) up to a limit.</summary>
    public static double RoundLengthUpTo(double limit)
    {
        double unit = Math.Pow(10, Math.Floor(Math.Log10(limit)));
        return (limit / unit) switch { >= 5 => 5 * unit, >= 2 => 2 * unit, _ => unit };
    }

    /// <summary>Label of tick <paramref name="number"/> in micrometres.</summary>
    public string Label(long number)
    {
        string text = (number * StepNanometres * 1e-3).ToString("F" + Decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        return number == 0 ? "0" : text;
    }
}
