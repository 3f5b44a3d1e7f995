using System.Globalization;
using PatternCompiler.Jobs;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Terminal;

/// <summary>A build in a few lines for people.</summary>
internal static class BuildSummaryText
{
    public static IEnumerable<string> Lines(BuildSummary summary)
    {
        double width = summary.Figures.XRightNanometres - summary.Figures.XLeftNanometres;
        double height = summary.Figures.YTopNanometres - summary.Figures.YBottomNanometres;
        yield return $"{summary.JobName}: {Count(summary.Figures.Figures, "figure", "figures")}, {Length(width)} x {Length(height)}, "
            + $"{Count(summary.Strokes.Lines + summary.Strokes.Dots, "stroke", "strokes")}, {Count(summary.Exposure.Points, "point", "points")}";
        if (summary.Correction is { } correction)
        {
            yield return CorrectionText.Line(correction);
        }

        double moving = summary.Estimate.SettlingSeconds + summary.Estimate.WaitingSeconds + summary.Estimate.Link.StallSeconds;
        string stage = summary.Estimate.Stage is { } fields ? $", the stage {Time(fields.MoveSeconds)} for {CountText.Of(fields.Fields, "write field", "write fields")}" : "";
        string trigger = summary.Estimate.Triggers is { } waits ? $", {CountText.Of(waits.Waits, "wait", "waits")} for the trigger {Time(waits.ExpectedSeconds)}" : "";
        yield return $"write time {Time(summary.Estimate.TotalSeconds)}: exposing {Time(summary.Estimate.ExposingSeconds)}, moving and waiting {Time(moving)}{trigger}{stage}; "
            + $"charge {QuantityText.Format(summary.Strokes.ChargeCoulombs, Dimension.Charge)}";
        if (TravelText.Line(summary.Estimate.Fill) is string travel)
        {
            yield return travel;
        }

        foreach (BuiltFile file in summary.Files)
        {
            yield return $"wrote {(file.Path == "-" ? "standard output" : file.Path)} ({file.Content}, {QuantityText.Format(file.Bytes, Dimension.DataSize)})";
        }
    }

    private static string Count(long number, string one, string many) =>
        $"{number.ToString("#,0", CultureInfo.InvariantCulture).Replace(',', ' ')} {(number == 1 ? one : many)}";

    private static string Length(double nanometres) => QuantityText.Format(nanometres * 1e-9, Dimension.Length);

    private static string Time(double seconds) => QuantityText.Format(seconds, Dimension.Time);
}

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
