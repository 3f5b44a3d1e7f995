using System.Globalization;

namespace PatternCompiler.Pictures.Plots;

/// <summary>Places and labels of an axis's ticks.</summary>
internal static class PlotTicks
{
    private const int FewestTicks = 3;

    private static readonly double[][] DecadeSteps = [[1, 1.5, 2, 3, 4, 5, 6, 8], [1, 2, 5], [1]];

    public static IEnumerable<(double Value, string Label)> Of(PlotAxis axis, int most)
    {
        return axis.IsLogarithmic ? Logarithmic(axis, most) : Even(axis, most);
    }

    // Powers of ten where a plain number would be long.
    private static string Text(double value, int digits) => Math.Abs(value) is >= 1e7 or (> 0 and < 1e-4)
        ? value.ToString("0.#####e0", CultureInfo.InvariantCulture)
        : FactText.Round(value, digits);

    private static IEnumerable<(double Value, string Label)> Even(PlotAxis axis, int most)
    {
        AxisTicks ticks = AxisTicks.Choose(axis.Low, axis.High, (axis.High - axis.Low) / most);
        for (long k = ticks.First; k <= ticks.Last; k++)
        {
            double value = k * ticks.StepNanometres;
            yield return (value, Text(value, 6));
        }
    }

    // The finest of the usual divisions of a decade that is not crowded; over less than a decade even steps may be all.
    private static IEnumerable<(double Value, string Label)> Logarithmic(PlotAxis axis, int most)
    {
        List<(double Value, string Label)> ticks = [];
        foreach (double[] steps in DecadeSteps)
        {
            ticks = [.. InDecades(axis, steps)];
            if (ticks.Count <= most)
            {
                break;
            }
        }

        if (ticks.Count > most)
        {
            int stride = (ticks.Count + most - 1) / most;
            return ticks.Where((_, i) => i % stride == 0);
        }

        return ticks.Count < FewestTicks ? Even(axis, most) : ticks;
    }

    private static IEnumerable<(double Value, string Label)> InDecades(PlotAxis axis, double[] steps)
    {
        int first = (int)Math.Floor(Math.Log10(axis.Low));
        int last = (int)Math.Ceiling(Math.Log10(axis.High));
        for (int decade = first; decade <= last; decade++)
        {
            foreach (double step in steps)
            {
                double value = step * Math.Pow(10, decade);
                if (value >= axis.Low * (1 - 1e-12) && value <= axis.High * (1 + 1e-12))
                {
                    yield return (value, Text(value, 3));
                }
            }
        }
    }
}
