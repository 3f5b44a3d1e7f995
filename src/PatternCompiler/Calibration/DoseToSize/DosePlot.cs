using System.Collections.Immutable;
using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Instrument;
using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>
/// Draws a dose test: printed less drawn width over dose, measured and by the fit, for every bar and gap. Without widths, the
/// thickness left in the squares, or which of them printed.
/// </summary>
internal static class DosePlot
{
    private const int Steps = 120;
    private const int Hues = 6;

    /// <summary>Composes the plot of a fit and the readings that it was made from.</summary>
    public static Plot Compose(DoseFit fit, IReadOnlyList<DoseReading> readings, SpreadFunction spread)
    {
        DoseReading[] widths = [.. readings.Where(reading => !double.IsNaN(reading.WidthNanometres))];
        if (widths.Length == 0)
        {
            return OfSquares(fit, readings, spread);
        }

        PlotAxis x = PlotAxis.Around("dose (µC/cm²)", widths.Select(reading => reading.Dose), isLogarithmic: true);
        double[] along = [.. Enumerable.Range(0, Steps + 1).Select(i => x.Low * Math.Pow(x.High / x.Low, (double)i / Steps))];
        ImmutableArray<PlotSeries>.Builder series = ImmutableArray.CreateBuilder<PlotSeries>();
        int hue = 0;
        foreach (IGrouping<DoseFeature, DoseReading> group in widths.GroupBy(reading => reading.Feature))
        {
            double drawn = group.Key.DrawnNanometres;
            series.Add(new PlotSeries(group.Key.Name, PlotMark.Dots, hue, [.. group.Select(reading => (reading.Dose, reading.WidthNanometres - drawn))]));
            series.Add(new PlotSeries("", PlotMark.Line, hue, [.. along.Select(dose => (dose, (fit.WidthAt(group.Key, dose, spread) ?? double.NaN) - drawn))]));
            hue = (hue + 1) % Hues;
        }

        return new Plot(
            "dose to size",
            FactText.Join(
                PlotFact.Of("threshold", fit.Threshold, "µC/cm²"), PlotFact.Of("base dose", fit.BaseDose, "µC/cm²"), PlotFact.Of("bias", fit.Bias!, "nm")),
            x,
            PlotAxis.Around("printed less drawn width (nm)", [0, .. widths.Select(reading => reading.WidthNanometres - reading.Feature.DrawnNanometres)]),
            series.ToImmutable());
    }

    private static Plot OfSquares(DoseFit fit, IReadOnlyList<DoseReading> readings, SpreadFunction spread)
    {
        DoseReading[] squares = [.. readings.Where(reading => reading.Feature.Kind == DoseFeatureKind.Square)];
        double[] energies = [.. squares.Select(reading => reading.Dose * reading.Feature.MiddleEnergy(spread))];
        return fit.Contrast is { } contrast
            ? ContrastPlot.Compose(contrast, energies, [.. squares.Select(reading => reading.ThicknessNanometres)])
            : new Plot(
                "squares of a dose test",
                FactText.Join(PlotFact.Of("threshold", fit.Threshold, "µC/cm²"), PlotFact.Of("base dose", fit.BaseDose, "µC/cm²")),
                PlotAxis.Around("dose in the middle of the square (µC/cm²)", energies, isLogarithmic: true),
                new PlotAxis($"{ToneWords.Of(fit.Tone).Printed} (1) or not (0)", -0.2, 1.2),
                [new PlotSeries("squares", PlotMark.Dots, 0, [.. squares.Zip(energies, (square, energy) => (energy, square.Prints == true ? 1.0 : 0.0))])]);
    }
}
