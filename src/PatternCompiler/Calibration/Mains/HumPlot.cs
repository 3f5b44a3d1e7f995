using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Calibration.Mains;

/// <summary>Draws displacements, without the offsets and drifts of their lines, over the mains period, and the fitted hum.</summary>
internal static class HumPlot
{
    private const int Steps = 200;

    /// <summary>Composes the plot of a fit and the measurements that it was made from.</summary>
    public static Plot Compose(HumFit fit, HumRows rows)
    {
        double hertz = fit.Frequency.Value;
        double period = 1000 / hertz;
        return new Plot(
            "hum of the mains",
            FactText.Join([.. fit.Axes.Select(axis => PlotFact.Of($"{axis.Axis} at f", axis.Waves[0].Amplitude, "nm"))]),
            PlotAxis.Around("time in the mains period (ms)", [0, period]),
            PlotAxis.Around("displacement (nm)", [.. fit.Axes.SelectMany(axis => axis.Left)]),
            [
                .. fit.Axes.SelectMany((axis, i) => (PlotSeries[])
                [
                    new PlotSeries($"{axis.Axis} measured", PlotMark.Dots, i, [.. rows.Seconds.Zip(axis.Left, (t, left) => (Phase(t), left))]),
                    new PlotSeries($"{axis.Axis} fit", PlotMark.Line, i, [.. Enumerable.Range(0, Steps + 1).Select(k => (period * k / Steps, axis.At(k / (hertz * Steps), hertz)))]),
                ]),
            ]);

        double Phase(double seconds) => (seconds * hertz - Math.Floor(seconds * hertz)) * period;
    }
}
