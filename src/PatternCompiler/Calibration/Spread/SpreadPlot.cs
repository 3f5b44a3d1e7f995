using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Calibration.Spread;

/// <summary>Draws a dot test: radius over charge, the fit and its confidence band.</summary>
internal static class SpreadPlot
{
    private const int Steps = 240;

    /// <summary>Composes the plot of a fit and the measurements that it was made from.</summary>
    /// <param name="fit">The fit.</param>
    /// <param name="charges">Charges of the dots in femtocoulombs.</param>
    /// <param name="radii">Radii in nanometres.</param>
    public static Plot Compose(SpreadFit fit, IReadOnlyList<double> charges, IReadOnlyList<double> radii)
    {
        PlotAxis y = PlotAxis.Around("radius (nm)", radii, isLogarithmic: true);
        double[] along = [.. Enumerable.Range(0, Steps + 1).Select(i => y.Low * Math.Pow(y.High / y.Low, (double)i / Steps))];
        return new Plot(
            "spread of the energy from a dot test",
            FactText.Join(
                PlotFact.Of("forward", fit.Forward, "nm"),
                PlotFact.Of("backscatter", fit.Backscatter, "nm"),
                PlotFact.Of("ratio", fit.Ratio)),
            PlotAxis.Around("charge of the dot (fC)", [.. charges, .. along.Select(fit.ChargeForRadius)], isLogarithmic: true),
            y,
            [
                Band("95 % confidence", -1),
                Band("", 1),
                new PlotSeries("fit", PlotMark.Line, 1, [.. along.Select(r => (fit.ChargeForRadius(r), r))]),
                new PlotSeries("measured", PlotMark.Dots, 0, [.. charges.Zip(radii)]),
            ]);

        PlotSeries Band(string name, int sign) => new(
            name, PlotMark.DashedLine, 3, [.. along.Select(r => (fit.ChargeForRadius(r), r * Math.Exp(sign * fit.LogBandHalfWidth(r))))]);
    }
}
