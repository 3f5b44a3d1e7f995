using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Terminal;

/// <summary>What the order of writing saves, in one line for people.</summary>
internal static class TravelText
{
    /// <summary>The line, or null where nothing was ordered.</summary>
    public static string? Line(FillReport report) => report.Travels.IsEmpty
        ? null
        : $"blanked travel between figures {Sum(report, t => t.OrderedNanometres)}: {Sum(report, t => t.GivenNanometres)} in the given order, no order needs less than {Sum(report, t => t.LeastNanometres)}";

    private static string Sum(FillReport report, Func<LayerTravel, double> nanometres) =>
        QuantityText.Format(report.Travels.Sum(nanometres) * 1e-9, Dimension.Length);
}
