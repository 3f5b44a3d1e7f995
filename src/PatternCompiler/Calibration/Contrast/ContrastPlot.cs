using PatternCompiler.Instrument;
using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Calibration.Contrast;

/// <summary>Draws a contrast curve: thickness over dose, the fit and its confidence band.</summary>
internal static class ContrastPlot
{
    private const int Steps = 240;

    /// <summary>Composes the plot of a fit and the measurements that it was made from.</summary>
    /// <param name="fit">The fit.</param>
    /// <param name="doses">Doses in µC/cm².</param>
    /// <param name="thicknesses">Thicknesses in nanometres.</param>
    public static Plot Compose(ContrastFit fit, IReadOnlyList<double> doses, IReadOnlyList<double> thicknesses)
    {
        PlotAxis x = PlotAxis.Around("dose (µC/cm²)", [.. doses, fit.Onset.Value, fit.Clearing.Value], isLogarithmic: true);
        ToneWords words = ToneWords.Of(fit.Tone);
        double[] along = [.. Enumerable.Range(0, Steps + 1).Select(i => x.Low * Math.Pow(x.High / x.Low, (double)i / Steps)), fit.Onset.Value, fit.Clearing.Value];
        Array.Sort(along);
        return new Plot(
            $"contrast curve of a {words.Tone} resist",
            FactText.Join(
                PlotFact.Of("contrast", fit.Contrast),
                PlotFact.Of(words.First + " dose", fit.Onset, "µC/cm²"),
                PlotFact.Of(words.Last + " dose", fit.Clearing, "µC/cm²")),
            x,
            PlotAxis.Around("remaining thickness (nm)", [.. thicknesses, 0, fit.Thickness.Value]),
            [
                Band("95 % confidence", -1),
                Band("", 1),
                new PlotSeries("fit", PlotMark.Line, 1, [.. along.Select(dose => (dose, fit.Thickness.Value * fit.RemainingFraction(dose)))]),
                new PlotSeries("measured", PlotMark.Dots, 0, [.. doses.Zip(thicknesses)]),
            ]);

        // Of the sloped part only: the plateaus are not fitted.
        PlotSeries Band(string name, int sign) => new(name, PlotMark.DashedLine, 3,
            [.. along.Where(dose => dose >= fit.Onset.Value && dose <= fit.Clearing.Value)
                .Select(dose => (dose, fit.Thickness.Value * (fit.RemainingFraction(dose) + sign * fit.BandHalfWidth(dose))))]);
    }
}
