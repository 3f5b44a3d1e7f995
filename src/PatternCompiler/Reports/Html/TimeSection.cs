using System.Globalization;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Units;

namespace PatternCompiler.Reports.Html;

/// <summary>Where the write time goes.</summary>
internal static class TimeSection
{
    private const double SmallestShare = 0.001;

    public static void Add(HtmlBuilder html, ExposureEstimate e)
    {
        html.Element("h2", "Time", ("id", "time"));
        (string Name, double Seconds, string How)[] parts =
        [
            ("Exposing", e.ExposingSeconds, ReportText.Count(e.Points, "point", "points")),
            ("Jumps and settling", e.SettlingSeconds, ReportText.Count(e.Jumps, "jump", "jumps")),
            ("Waiting", e.WaitingSeconds, "for blanker and scan line"),
            ("Link stalls", e.Link.StallSeconds, e.Link.Stalls == 0 ? "never runs dry" : ReportText.Count(e.Link.Stalls, "stall", "stalls")),
        ];
        if (e.Triggers is { } triggers)
        {
            parts = [.. parts, ("Waits for the trigger", triggers.ExpectedSeconds, ReportText.Count(triggers.Waits, "wait", "waits"))];
        }

        if (e.Stage is { } stage)
        {
            string readings = stage.Readings is { } to ? $", readings x {Um(to.LowestX)} to {Um(to.HighestX)} µm, y {Um(to.LowestY)} to {Um(to.HighestY)} µm" : "";
            parts = [.. parts, ("Moves of the stage", stage.MoveSeconds, ReportText.Count(stage.Fields, "write field", "write fields") + readings)];
        }

        AddBar(html, parts, e.TotalSeconds);
        ReportTable.Begin(html, "Write time by what it is spent on", false, "Part", "#Time", "#Share");
        foreach ((string name, double seconds, string how) in parts)
        {
            html.Open("tr").Open("th", ("scope", "row")).Text(name + " ").Element("span", how, ("class", "given")).Close();
            html.Element("td", ReportText.Of(seconds, Dimension.Time), ("class", "number")).Element("td", Share(seconds, e.TotalSeconds), ("class", "number")).Close();
        }

        ReportTable.Total(html, "All", "#" + ReportText.Of(e.TotalSeconds, Dimension.Time), "#" + Share(e.TotalSeconds, e.TotalSeconds));
        ReportTable.End(html);
    }

    private static string Share(double seconds, double total)
    {
        double part = total > 0 ? seconds / total : 0;
        return part is > 0 and < SmallestShare ? "< 0.1\u00A0%" : ReportText.Percent(Math.Round(part, 3), 4);
    }

    private static void AddBar(HtmlBuilder html, (string Name, double Seconds, string How)[] parts, double total)
    {
        if (total <= 0)
        {
            return;
        }

        string words = string.Join(", ", parts.Select(part => $"{part.Name.ToLowerInvariant()} {Share(part.Seconds, total)}"));
        html.Open("svg", ("class", "bar"), ("viewBox", "0 0 1000 10"), ("preserveAspectRatio", "none"), ("role", "img"), ("aria-label", $"Shares of the write time: {words}"), ("focusable", "false"));
        double left = 0;
        int hue = 0;
        foreach ((_, double seconds, _) in parts)
        {
            double width = 1000 * seconds / total;
            html.Open("rect", ("class", $"hue{hue}"), ("x", Number(left)), ("y", "0"), ("width", Number(width)), ("height", "10")).Close();
            left += width;
            hue++;
        }

        html.Close();
    }

    private static string Um(double nanometres) => NumberText.Format(Math.Round(nanometres / 1000, 4, MidpointRounding.AwayFromZero) + 0.0).Replace('-', '−');

    private static string Number(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);
}
