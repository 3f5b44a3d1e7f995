using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Calibration.BlankerDelay;

/// <summary>Draws a test of the blanker: lengths over speed, the fitted lines and their confidence bands.</summary>
internal static class BlankerDelayPlot
{
    private const int Steps = 60;

    /// <summary>Composes the plot of a fit and the measurements that it was made from.</summary>
    /// <param name="fit">The fit.</param>
    /// <param name="speeds">Speeds in nm/µs.</param>
    /// <param name="tails">Lengths beyond the lines' ends, in nanometres.</param>
    /// <param name="heads">Lengths missing at their starts, in nanometres.</param>
    public static Plot Compose(
        BlankerDelayFit fit, IReadOnlyList<double> speeds, IReadOnlyList<double> tails, IReadOnlyList<double> heads)
    {
        PlotAxis x = PlotAxis.Around("speed (nm/µs)", [0, .. speeds]);
        double[] along = [.. Enumerable.Range(0, Steps + 1).Select(i => Math.Max(0, x.High) * i / Steps)];
        return new Plot(
            "delays of the blanker",
            FactText.Join(PlotFact.Of("off", fit.OffDelay, "µs"), PlotFact.Of("on", fit.OnDelay, "µs")),
            x,
            PlotAxis.Around("length (nm)", [0, .. tails, .. heads]),
            [
                .. Line(fit.OffDelay, fit.TailOffset, fit.TailCovariance, tails, "tail at the end", 0),
                .. Line(fit.OnDelay, fit.HeadOffset, fit.HeadCovariance, heads, "missing at the start", 1),
            ]);

        PlotSeries[] Line(FitParameter delay, FitParameter offset, double covariance, IReadOnlyList<double> lengths, string name, int hue)
        {
            double At(double speed) => offset.Value + delay.Value * speed;
            PlotSeries Band(string label, int sign) => new(
                label, PlotMark.DashedLine, hue, [.. along.Select(v => (v, At(v) + sign * fit.BandHalfWidth(delay, offset, covariance, v)))]);
            return
            [
                Band("95 % confidence", -1),
                Band("", 1),
                new PlotSeries("fit", PlotMark.Line, hue, [.. along.Select(v => (v, At(v)))]),
                new PlotSeries(name, PlotMark.Dots, hue, [.. speeds.Zip(lengths)]),
            ];
        }
    }
}
