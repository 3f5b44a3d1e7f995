using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Calibration.Settling;

/// <summary>Draws fitted responses: displacement over jump against the wait, hysteresis taken off, and the curve of each axis, on a logarithmic axis.</summary>
internal static class ResponsePlot
{
    private const int Steps = 200;

    /// <summary>Composes the plot of fits and the readings that they were made from.</summary>
    public static Plot Compose(IReadOnlyList<ResponseFit> fits, IReadOnlyList<SettlingReading> readings)
    {
        PlotAxis x = PlotAxis.Around("wait (µs)", [.. readings.Select(reading => reading.Wait)]);
        double[] along = [.. Enumerable.Range(0, Steps + 1).Select(i => x.Low + ((x.High - x.Low) * i / Steps))];
        var series = new List<PlotSeries>();
        var parts = new List<double>();
        foreach ((ResponseFit fit, int i) in fits.Select((fit, i) => (fit, i)))
        {
            string name = fit.Axis == ' ' ? "" : $" along {fit.Axis}";
            (double, double)[] seen =
            [
                .. readings.Where(reading => reading.Axis == fit.Axis)
                    .Select(reading => (reading.Wait + (reading.Visit / 2), 1000 * (reading.Displacement - (reading.IsOfBothSides ? fit.Hysteresis?.Value ?? 0 : 0)) / reading.Jump))
                    .Where(point => point.Item2 > 0),
            ];
            parts.AddRange(seen.Select(point => point.Item2));
            series.Add(new PlotSeries($"fit{name}", PlotMark.Line, (2 * i) + 1, [.. along.Select(wait => (wait, 1000 * fit.Left(wait))).Where(point => point.Item2 > 0)]));
            series.Add(new PlotSeries($"measured{name}", PlotMark.Dots, 2 * i, [.. seen]));
        }

        return new Plot(
            "settling after a jump",
            string.Join("; ", fits.Select(fit => string.Join(", ", fit.TimeConstants.Select(constant => PlotFact.Of("time constant", constant, "µs"))))),
            x,
            PlotAxis.Around("still to go (nm per µm of the jump)", parts.Count > 0 ? parts : [1], isLogarithmic: true),
            [.. series]);
    }
}
