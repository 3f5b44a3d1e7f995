using System.Collections.Immutable;
using PatternCompiler.Pictures;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Pictures a process window: edge error over dose and bias, with the border of what is allowed.</summary>
internal static class ProcessWindowPicture
{
    private const int Columns = 79;
    private const int Rows = 64;
    private const int Hue = 0;

    /// <summary>Composes the plot.</summary>
    public static Plot Compose(ProcessWindowReport report, string title)
    {
        double best = report.BestBiasNanometres();
        double reach = Math.Max(2 * report.LimitNanometres, Math.Abs(best) + report.LimitNanometres);
        double lowest = report.Steps[0].DoseFactor;
        double highest = report.Steps[^1].DoseFactor;
        var tints = new byte[Columns * Rows];
        for (int row = 0; row < Rows; row++)
        {
            double bias = -reach + 2 * reach * (row + 0.5) / Rows;
            for (int column = 0; column < Columns; column++)
            {
                double dose = lowest + (highest - lowest) * (column + 0.5) / Columns;
                double error = ErrorAt(report, dose, bias);

                // What is out of bounds stays white: strong tints are small errors.
                tints[row * Columns + column] = error <= report.LimitNanometres
                    ? (byte)Math.Clamp(1 + Math.Round((1 - error / report.LimitNanometres) * (Palette.TintCount - 1)), 1, Palette.TintCount)
                    : (byte)0;
            }
        }

        string limit = FactText.Length(report.LimitNanometres);
        return new Plot(
            FactText.Join(title, "process window"),
            FactText.Join(
                $"edge error up to {limit}",
                $"exposure latitude {Percent(report.LatitudeAt(0))} as drawn",
                $"{Percent(report.LatitudeAt(best))} at a bias of {FactText.Length(best)}"),
            new PlotAxis("dose factor", lowest, highest),
            new PlotAxis("bias (nm)", -reach, reach),
            Borders(report, reach))
        {
            Cells = new PlotCells(Columns, Rows, tints, new TintScale("edge error", limit, "0 nm", Hue)),
        };
    }

    private static ImmutableArray<PlotSeries> Borders(ProcessWindowReport report, double reach)
    {
        const int Steps = 200;
        var low = ImmutableArray.CreateBuilder<(double, double)>();
        var high = ImmutableArray.CreateBuilder<(double, double)>();
        for (int i = 0; i <= Steps; i++)
        {
            double bias = -reach + 2 * reach * i / Steps;
            (double lowest, double highest) = report.RangeAt(bias) ?? (double.NaN, double.NaN);
            low.Add((lowest, bias));
            high.Add((highest, bias));
        }

        return
        [
            new PlotSeries("border of the window", PlotMark.Line, 3, low.ToImmutable()),
            new PlotSeries("", PlotMark.Line, 3, high.ToImmutable()),
        ];
    }

    private static double ErrorAt(ProcessWindowReport report, double dose, double bias)
    {
        int next = 0;
        while (next < report.Steps.Length - 1 && report.Steps[next].DoseFactor < dose)
        {
            next++;
        }

        int before = Math.Max(0, next - 1);
        double a = report.ErrorAt(before, bias);
        double b = report.ErrorAt(next, bias);
        double span = report.Steps[next].DoseFactor - report.Steps[before].DoseFactor;
        return span > 0 && double.IsFinite(a) && double.IsFinite(b)
            ? a + (b - a) * (dose - report.Steps[before].DoseFactor) / span
            : Math.Max(a, b);
    }

    private static string Percent(double part) => $"{FactText.Round(100 * part, 3)} %";
}
