using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Calibration.Settling;

/// <summary>Draws a test of settling: displacement over jump against the wait, the fitted curve and its confidence band.
/// The axis is logarithmic, so that bars without a displacement are left out.</summary>
internal static class SettlingPlot
{
    private const int Steps = 100;

    /// <summary>Composes the plot of a fit and the measurements that it was made from.</summary>
    /// <param name="fit">The fit.</param>
    /// <param name="jumps">Jumps in nanometres.</param>
    /// <param name="waits">Waits in microseconds.</param>
    /// <param name="displacements">Displacements in nanometres.</param>
    public static Plot Compose(SettlingFit fit, IReadOnlyList<double> jumps, IReadOnlyList<double> waits, IReadOnlyList<double> displacements)
    {
        PlotAxis x = PlotAxis.Around("wait (µs)", waits);
        double[] along = [.. Enumerable.Range(0, Steps + 1).Select(i => x.Low + ((x.High - x.Low) * i / Steps))];
        (double Wait, double Part)[] parts =
            [.. waits.Zip(displacements.Zip(jumps, (displacement, jump) => 1000 * displacement / jump)).Where(point => point.Second > 0)];
        PlotSeries Band(string name, int sign) => new(
            name, PlotMark.DashedLine, 0, [.. along.Select(wait => (wait, 1000 * fit.Left(wait) * Math.Exp(sign * fit.LogBandHalfWidth(wait))))]);
        return new Plot(
            "settling after a jump",
            FactText.Join(PlotFact.Of("time constant", fit.TimeConstant, "µs"), PlotFact.Of("dead time", fit.DeadTime, "µs")),
            x,
            PlotAxis.Around("still to go (nm per µm of the jump)", parts.Select(point => point.Part), isLogarithmic: true),
            [
                Band("95 % confidence", -1),
                Band("", 1),
                new PlotSeries("fit", PlotMark.Line, 1, [.. along.Select(wait => (wait, 1000 * fit.Left(wait)))]),
                new PlotSeries("measured", PlotMark.Dots, 0, [.. parts]),
            ]);
    }
}
