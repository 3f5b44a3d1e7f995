using System.Collections.Immutable;
using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Calibration.Converters;

/// <summary>Draws how far each output lies off its own straight line, code by code.</summary>
internal static class ConverterPlot
{
    /// <summary>Composes the plot of a fit.</summary>
    public static Plot Compose(ConverterFit fit)
    {
        (double Code, double Steps)[] x = Bent(fit.X), y = Bent(fit.Y);
        return new Plot(
            "what the outputs give off their straight lines",
            FactText.Join(Fact(fit.X), Fact(fit.Y)),
            PlotAxis.Around("code", x.Concat(y).Select(point => point.Code)),
            PlotAxis.Around("off the straight line (steps)", x.Concat(y).Select(point => point.Steps)),
            [
                new PlotSeries("x", PlotMark.Line, 0, [.. x]),
                new PlotSeries("", PlotMark.Dots, 0, [.. x]),
                new PlotSeries("y", PlotMark.Line, 1, [.. y]),
                new PlotSeries("", PlotMark.Dots, 1, [.. y]),
            ]);

        (double Code, double Steps)[] Bent(OutputFit output)
        {
            if (fit.IsFromPlaces)
            {
                return [.. output.Levels.Select(level => ((double)level.Code, level.DeviationSteps))];
            }

            double mean = output.Levels.Average(level => (double)level.Code), deviation = output.Levels.Average(level => level.DeviationSteps);
            return [.. output.Levels.Select(level => ((double)level.Code, level.DeviationSteps - deviation - (output.GainError.Value / 100 * (level.Code - mean))))];
        }

        string Fact(OutputFit output) => fit.IsFromPlaces
            ? $"{output.Axis}: codes {output.Usable.Lowest} to {output.Usable.Highest}"
            : $"{output.Axis}: gain {FactText.Round(output.GainError.Value, 3)} % off, offset {FactText.Round(output.Offset.Value, 3)} mV, codes {output.Usable.Lowest} to {output.Usable.Highest}";
    }
}
