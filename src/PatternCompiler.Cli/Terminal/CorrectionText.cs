using System.Globalization;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Terminal;

/// <summary>A proximity correction in a few lines for people.</summary>
internal static class CorrectionText
{
    /// <summary>The whole in one line.</summary>
    public static string Line(ProximityReport report) => string.Create(
        CultureInfo.InvariantCulture,
        $"proximity correction: factors {report.SmallestDoseFactor:0.###} to {report.LargestDoseFactor:0.###}, remaining error {report.RootMeanSquareError * 100:0.##} % rms, {report.LargestError * 100:0.##} % at most, after {CountText.Of(report.Iterations, "iteration", "iterations")}; {CountText.Of(report.FiguresBefore, "figure", "figures")} became {report.FiguresAfter}");

    /// <summary>Figures by the error that remains.</summary>
    public static IEnumerable<string> Histogram(ProximityReport report)
    {
        yield return "remaining error of figures:";
        for (int bin = 0; bin < report.Histogram.Length; bin++)
        {
            string from = bin == 0 ? "       " : Percent(ProximityReport.HistogramEdges[bin - 1]);
            string to = bin == report.Histogram.Length - 1 ? "       " : Percent(ProximityReport.HistogramEdges[bin]);
            yield return $"  {from} .. {to}  {report.Histogram[bin]}";
        }
    }

    private static string Percent(double fraction) => (fraction * 100).ToString("+0.0;-0.0", CultureInfo.InvariantCulture).PadLeft(5) + " %";
}
