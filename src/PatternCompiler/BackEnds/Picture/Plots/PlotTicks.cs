namespace PatternCompiler.BackEnds.Picture.Plots;

/// <summary>Places and labels of an axis's ticks.</summary>
internal static class PlotTicks
{
    public static IEnumerable<(double Value, string Label)> Of(PlotAxis axis, int most)
    {
        return axis.IsLogarithmic ? Logarithmic(axis) : Even(axis, most);
    }

    private static IEnumerable<(double Value, string Label)> Even(PlotAxis axis, int most)
    {
        AxisTicks ticks = AxisTicks.Choose(axis.Low, axis.High, (axis.High - axis.Low) / most);
        for (long k = ticks.First; k <= ticks.Last; k++)
        {
            double value = k * ticks.StepNanometres;
            yield return (value, FactText.Round(value, 6));
        }
    }

    // 1, 2 and 5 of each decade as long as that is not crowded, else the decades only.
    private static IEnumerable<(double Value, string Label)> Logarithmic(PlotAxis axis)
    {
        int first = (int)Math.Floor(Math.Log10(axis.Low));
        int last = (int)Math.Ceiling(Math.Log10(axis.High));
        double[] steps = last - first <= 4 ? [1, 2, 5] : [1];
        for (int decade = first; decade <= last; decade++)
        {
            foreach (double step in steps)
            {
                double value = step * Math.Pow(10, decade);
                if (value >= axis.Low * (1 - 1e-12) && value <= axis.High * (1 + 1e-12))
                {
                    yield return (value, FactText.Round(value, 3));
                }
            }
        }
    }
}
