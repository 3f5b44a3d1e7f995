using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Reports.Html;

/// <summary>What every layer asks for and gets.</summary>
internal static class DoseSection
{
    public static void Add(HtmlBuilder html, ReportContent content)
    {
        html.Element("h2", "Dose", ("id", "dose"));
        ReportTable.Begin(html, "Dose by layer", true, "Layer", "Written as", "#Figures", "#Area, length or dots", "#Dose asked for", "#Mean dose written", "#Charge", "#Beam on");
        double current = content.Machine.Beam.CurrentAmperes;
        foreach (DoseRow row in content.Doses)
        {
            ReportTable.Row(
                html,
                row.Layer,
                KindOf(row.Kind),
                "#" + ReportText.Count(row.Figures),
                "#" + AmountOf(row),
                "#" + AskedFor(row),
                "#" + Dose(row.Kind, row.MeanDose),
                "#" + ReportText.Of(row.ChargeCoulombs, Dimension.Charge),
                "#" + ReportText.Of(row.ChargeCoulombs / current, Dimension.Time));
        }

        double charge = content.Doses.Sum(row => row.ChargeCoulombs);
        ReportTable.Total(
            html,
            "All",
            "",
            "#" + ReportText.Count(content.Doses.Sum(row => row.Figures)),
            "",
            "",
            "",
            "#" + ReportText.Of(charge, Dimension.Charge),
            "#" + ReportText.Of(charge / current, Dimension.Time));
        ReportTable.End(html);
        if (content.Correction is { } correction)
        {
            AddCorrection(html, correction);
        }
        else
        {
            html.Element("p", "Doses were not corrected for scattered electrons.");
        }
    }

    private static void AddCorrection(HtmlBuilder html, ProximityReport correction) => html.Element(
        "p",
        $"Doses were corrected for scattered electrons by factors of {ReportText.Number(correction.SmallestDoseFactor)} to {ReportText.Number(correction.LargestDoseFactor)} in {ReportText.Count(correction.Iterations, "iteration", "iterations")}, "
        + $"for which {ReportText.Count(correction.FiguresBefore, "figure was", "figures were")} cut into {ReportText.Count(correction.FiguresAfter)}. "
        + $"The energy that remains off target is {ReportText.Percent(correction.RootMeanSquareError)} rms and {ReportText.Percent(correction.LargestError)} at worst; {ReportText.Percent(correction.OutsideTolerance)} of the edges are outside the tolerance.");

    private static string KindOf(FigureKind kind) => kind switch
    {
        FigureKind.Trapezoid => "areas",
        FigureKind.Line => "lines",
        _ => "dots",
    };

    private static string AmountOf(DoseRow row) => row.Kind switch
    {
        FigureKind.Trapezoid => $"{ReportText.Number(row.Amount * 1e12)}\u00A0µm²",
        FigureKind.Line => ReportText.Of(row.Amount, Dimension.Length),
        _ => ReportText.Count((long)row.Amount, "dot", "dots"),
    };

    private static string AskedFor(DoseRow row)
    {
        string high = Dose(row.Kind, row.HighestDose);
        string low = Dose(row.Kind, row.LowestDose);
        return low == high ? high : $"{low[..low.LastIndexOf('\u00A0')]} to {high}";
    }

    private static string Dose(FigureKind kind, double dose) => kind switch
    {
        FigureKind.Trapezoid => ReportText.Of(dose, Dimension.AreaDose),
        FigureKind.Line => ReportText.Of(dose, Dimension.LineDose),
        _ => ReportText.Of(dose, Dimension.Charge),
    };
}
