using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Reports.Html;

/// <summary>The settings that the exposure was compiled with.</summary>
internal static class SettingsSection
{
    public static void Add(HtmlBuilder html, ReportContent content)
    {
        html.Element("h2", "Settings", ("id", "settings"));
        AddMachine(html, content.Machine);
        AddProcess(html, content.Process);
        ReportTable.Begin(html, $"Job: {content.JobName}", false, "Setting", "Value");
        foreach ((string name, string value) in content.Settings)
        {
            ReportTable.Row(html, name, value);
        }

        ReportTable.End(html);
    }

    private static void AddMachine(HtmlBuilder html, Machine machine)
    {
        ReportTable.Begin(html, $"Machine: {machine.Name}", false, "Setting", "Value");
        ReportTable.Row(html, "Converters", $"{machine.Dac.Bits} bits, {ReportText.Of(machine.Dac.MinimumVolts, Dimension.Voltage)} to {ReportText.Of(machine.Dac.MaximumVolts, Dimension.Voltage)}");
        ReportTable.Row(html, "Field", $"{ReportText.Nanometres(machine.Deflection.FieldWidthNanometres)} × {ReportText.Nanometres(machine.Deflection.FieldHeightNanometres)}");
        ReportTable.Row(html, "Beam", $"{ReportText.Of(machine.Beam.CurrentAmperes, Dimension.Current)}, spot {ReportText.Nanometres(machine.Beam.SpotNanometres)}, {ReportText.Of(machine.Beam.EnergyElectronvolts, Dimension.Energy)}");
        ReportTable.Row(html, "Clock", $"{ReportText.Of(machine.Clock.Hertz, Dimension.Frequency)}");
        ReportTable.Row(html, "Settling", $"{ReportText.Of(machine.Settle.FixedSeconds, Dimension.Time)} after a jump, {(machine.Settle.IsSum ? "slowest time constant" : "time constant")} {ReportText.Of(machine.Settle.TimeConstantSeconds, Dimension.Time)}");
        ReportTable.Row(html, "Lines", machine.Link.InterpolatesLines ? "interpolated by the controller" : "sent point by point");
        ReportTable.End(html);
    }

    private static void AddProcess(HtmlBuilder html, Resist process)
    {
        ReportTable.Begin(html, $"Process: {process.Name}", false, "Setting", "Value");
        ReportTable.Row(html, "Base dose of areas", ReportText.Of(process.AreaDoseCoulombsPerSquareMetre, Dimension.AreaDose));
        ReportTable.Row(html, "Base dose of lines", ReportText.Of(process.LineDoseCoulombsPerMetre, Dimension.LineDose));
        ReportTable.Row(html, "Base charge of dots", ReportText.Of(process.DotChargeCoulombs, Dimension.Charge));
        ReportTable.Row(html, process.Response.Tone == ResistTone.Positive ? "Resist reacts from" : "Resist gels from", ReportText.Of(process.Response.OnsetCoulombsPerSquareMetre, Dimension.AreaDose));
        ReportTable.Row(
            html,
            $"Resist is {ToneWords.Of(process.Response.Tone).Complete} from",
            $"{ReportText.Of(process.Response.ClearingCoulombsPerSquareMetre, Dimension.AreaDose)}, contrast {ReportText.Number(process.Response.Contrast)}");
        ReportTable.Row(html, "Outlines print at", $"{ReportText.Of(process.Response.PrintingCoulombsPerSquareMetre, Dimension.AreaDose)}, where {process.Response.PrintingRule}");
        if (process.Response.ThicknessNanometres is double thickness)
        {
            ReportTable.Row(html, "Thickness", ReportText.Nanometres(thickness));
        }

        if (process.Spread is { } spread)
        {
            string terms = string.Join("; ", spread.Terms.Select((term, i) => $"{ReportText.Nanometres(term.RangeNanometres)}{(i == 0 ? "" : $" with {ReportText.Number(term.Ratio)} of the forward energy")}"));
            ReportTable.Row(html, "Energy spread", process.IsForwardDerived ? $"{terms}; the forward range follows from thickness and beam energy" : terms);
        }

        ReportTable.End(html);
    }
}
