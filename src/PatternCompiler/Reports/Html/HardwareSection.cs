using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Units;

namespace PatternCompiler.Reports.Html;

/// <summary>Whether the pattern writer can write the pattern: each limit, what is needed, and the verdict.</summary>
internal static class HardwareSection
{
    public static void Add(HtmlBuilder html, ReportContent content)
    {
        ExposureEstimate e = content.Estimate;
        html.Element("h2", "Hardware fit", ("id", "hardware"));
        ReportTable.Begin(html, "What the exposure needs and what the pattern writer gives", false, "Limit", "Found, and what is given or wanted", "Verdict");
        Row("Step of the converters", $"{ReportText.Nanometres(e.StepXNanometres)} × {ReportText.Nanometres(e.StepYNanometres)} per code", $"at most half the spot of {ReportText.Nanometres(e.SpotNanometres)}", PredictionCodes.CoarseCodes);
        Row("Spacing along x", Spacing(e.SpacingX), $"a ripple of ±2\u00A0% at most, with a beam of {ReportText.Nanometres(e.BlurNanometres, 3)} in the resist", e.SpacingX.Ripple > 0.02 ? PredictionCodes.DoseRipple : null);
        Row("Spacing along y", Spacing(e.SpacingY), "likewise", e.SpacingY.Ripple > 0.02 ? PredictionCodes.DoseRipple : null);
        Row("Rounding to codes", $"{ReportText.Nanometres(e.PositionDeviationNanometres, 3)} rms", $"{ReportText.Nanometres(Math.Max(e.StepXNanometres, e.StepYNanometres) / 2, 3)} at most");
        Row("Dwell", Dwell(e), $"{ReportText.Count(e.MinimumDwellTicks)} to {ReportText.Count(e.MaximumDwellTicks)} ticks of {ReportText.Of(1 / e.ClockHertz, Dimension.Time)}", PredictionCodes.DwellNearMinimum, PredictionCodes.CoarseDwell);
        Row("Rounding of dwell", $"{ReportText.Percent(e.DwellRounding)} of a point’s dose at most", "carried on within a figure");
        Row("Blanker", Blanking(content), "short blanks hold the beam on", OrderCodes.BlankerTooSlow);
        if (e.Strays is { } strays)
        {
            Row(
                "Stray lines",
                strays.Printing == 0 ? $"none of {ReportText.Count(strays.Jumps, "jump", "jumps")} prints" : $"{ReportText.Count(strays.Printing)} of {ReportText.Count(strays.Jumps, "jump", "jumps")} print",
                $"{ReportText.Of(strays.LargestDoseCoulombsPerSquareMetre, Dimension.AreaDose, 3)} along a jump at most; the resist reacts from {ReportText.Of(content.Process.Response.OnsetCoulombsPerSquareMetre, Dimension.AreaDose)}",
                PredictionCodes.StrayLines);
        }

        Row("Link", Link(e.Link), $"{ReportText.Of(e.Link.GivenBytesPerSecond, Dimension.DataRate, 3)}, buffer {ReportText.Of(e.Link.BufferBytes, Dimension.DataSize, 3)} ({ReportText.Count(e.Link.Blocks, "block", "blocks")}), round trip {ReportText.Of(e.Link.RoundTripSeconds, Dimension.Time)}", PredictionCodes.LinkTooSlow, PredictionCodes.LinkNearLimit);
        Row("Field", $"{ReportText.Percent(e.Field.UsedX)} × {ReportText.Percent(e.Field.UsedY)} of the codes", $"{ReportText.Count(e.Field.MarginCodes, "code", "codes")} to the nearest end", ScaleCodes.OutOfField);
        Row("Shot noise", $"{ReportText.Percent(e.ShotNoise)} of the least exposed figure’s dose", $"{ReportText.Number(e.FewestElectrons)} electrons", PredictionCodes.ShotNoise);
        Row("Settling", $"{ReportText.Of(e.SettlingSeconds, Dimension.Time)} for jumps", $"less than exposing, {ReportText.Of(e.ExposingSeconds, Dimension.Time)}", PredictionCodes.SettlingDominates);
        Row("Drift", $"{ReportText.Of(e.TotalSeconds, Dimension.Time)} of writing", "current and stage are steady for an hour, rarely longer", PredictionCodes.LongWrite);
        ReportTable.End(html);

        void Row(string name, string found, string given, params ReadOnlySpan<DiagnosticCode?> doubts)
        {
            html.Open("tr").Element("th", name, ("scope", "row")).Open("td").Text(found + " ").Element("span", given, ("class", "given")).Close().Open("td");
            AddVerdict(html, content, doubts);
            html.Close().Close();
        }
    }

    /// <summary>The first doubt that was reported; nothing where nothing could be marginal.</summary>
    private static void AddVerdict(HtmlBuilder html, ReportContent content, ReadOnlySpan<DiagnosticCode?> doubts)
    {
        if (doubts.IsEmpty)
        {
            return;
        }

        foreach (DiagnosticCode? doubt in doubts)
        {
            if (doubt is not null && content.Diagnostics.Any(diagnostic => diagnostic.Code == doubt && diagnostic.Severity != Severity.Note))
            {
                html.Open("span", ("class", "doubt-text")).Text("marginal, ").Element("a", doubt.Id, ("href", "#" + doubt.Id)).Close();
                return;
            }
        }

        html.Element("span", "fits", ("class", "fits"));
    }

    private static string Spacing(SpacingEstimate spacing) => spacing.LargestNanometres == 0
        ? "none"
        : $"{ReportText.Nanometres(spacing.SmallestNanometres, 3)} to {ReportText.Nanometres(spacing.LargestNanometres, 3)}, ripple ±{ReportText.Percent(spacing.Ripple)}";

    private static string Dwell(ExposureEstimate e) =>
        $"{ReportText.Of(e.ShortestDwellTicks / e.ClockHertz, Dimension.Time)} to {ReportText.Of(e.LongestDwellTicks / e.ClockHertz, Dimension.Time)} ({ReportText.Count(e.ShortestDwellTicks)} to {ReportText.Count(e.LongestDwellTicks)} ticks)";

    private static string Blanking(ReportContent content) => content.Machine.Blanker is not { IsPresent: true } blanker
        ? "none: the beam is always on"
        : $"line {(blanker.Level == BlankLevel.High ? "high" : "low")} with the beam off; off after {ReportText.Of(blanker.OffDelaySeconds, Dimension.Time)}, on after {ReportText.Of(blanker.OnDelaySeconds, Dimension.Time)}, leaks {ReportText.Percent(blanker.LeakFraction)}{(blanker.LeaksFog ? $" in a spot of {ReportText.Of(blanker.LeakSpotNanometres * 1e-9, Dimension.Length)}" : "")}{(blanker.RiseSeconds > 0 || blanker.FallSeconds > 0 ? $"; rises in {ReportText.Of(blanker.RiseSeconds, Dimension.Time)}, falls in {ReportText.Of(blanker.FallSeconds, Dimension.Time)} (10 to 90 %)" : "")}; delays {(blanker.IsCompensated ? "compensated" : "not compensated")}";

    private static string Link(LinkEstimate link) =>
        $"{ReportText.Of(link.MeanBytesPerSecond, Dimension.DataRate, 3)} on average"
        + (link.BusiestBytesPerSecond > 0 ? $", {ReportText.Of(link.BusiestBytesPerSecond, Dimension.DataRate, 3)} in the busiest part" : "")
        + (link.Stalls == 0 ? "; never runs dry" : $"; runs dry {ReportText.Count(link.Stalls, "time", "times")}, {ReportText.Count(link.StallsAmidExposure)} with the beam on")
        + (link.NeededBlocks is long blocks ? $"; needs a buffer of {ReportText.Count(blocks, "block", "blocks")}" : "; no buffer is large enough to keep the beam on");
}
