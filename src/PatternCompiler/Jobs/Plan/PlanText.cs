using System.Globalization;
using System.Text;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fill.Automatic;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Plan;

/// <summary>Prints a plan as an aligned table, and a row of it as settings.</summary>
internal static class PlanText
{
    private const int Digits = 3;

    /// <summary>The table: what can be written, numbered; then what cannot, with the reason.</summary>
    public static string Table(WritingPlan plan)
    {
        bool hasMagnification = plan.Rows.Any(row => row.Field.Magnification is not null);
        List<string[]> cells =
        [
            ["row", "current", "spot", "in resist", "field", .. hasMagnification ? ["magnification"] : Array.Empty<string>(), .. plan.IsOfDrawing ? ["fields"] : Array.Empty<string>(), "line pitch", "point step", "dwell", "beam on", "electrons a point", "dose noise", "ripple", "ruled by"],
        ];
        int number = 0;
        foreach (PlanRow row in plan.Rows.Where(row => row.Refusal is null))
        {
            number++;
            SpacingEffect? chosen = row.Ruling?.Chosen is { ShortestDwellSeconds: > 0 } spaced ? spaced : null;
            cells.Add(
            [
                number.ToString(CultureInfo.InvariantCulture),
                .. Setting(row, hasMagnification),
                .. plan.IsOfDrawing ? [row.WriteFields.ToString(CultureInfo.InvariantCulture)] : Array.Empty<string>(),
                chosen is null ? "none" : SpacingText.Name(chosen.LinePitch, chosen.LinePitchNanometres),
                chosen is null ? "none" : SpacingText.Name(chosen.PointStep, chosen.PointStepNanometres),
                chosen is null ? "none" : Time(chosen.ShortestDwellSeconds),
                Time(row.BeamOnSeconds),
                chosen is null ? "none" : Count(row.PointElectrons),
                Percent(row.DoseNoise),
                Percent(row.Ripple),
                chosen is not null ? RuledBy(row.Ruling!) : "nothing",
            ]);
        }

        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"smallest feature {Length(plan.FeatureNanometres)}; {(plan.IsOfDrawing ? "times are of the drawing" : "times are of an area of 100 um x 100 um")}, settling, link and stage not counted\n");
        if (number > 0)
        {
            AlignedTable.Append(cells, text);
        }

        foreach (PlanRow row in plan.Rows.Where(row => row.Refusal is not null))
        {
            text.Append(CultureInfo.InvariantCulture, $"not {string.Join(", ", Setting(row, hasMagnification).Take(2))} in a field of {Length(row.Field.WidthNanometres)}: {row.Refusal}\n");
        }

        return text.ToString();
    }

    /// <summary>A row as the part of a job file that asks for its spacings; what the machine must be set to stands in comments.</summary>
    /// <param name="row">A row that can be written.</param>
    /// <param name="number">Its number.</param>
    /// <param name="isOfDrawing">True if the layers are those of a drawing.</param>
    public static string Settings(PlanRow row, int number, bool isOfDrawing)
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"# Row {number}: beam on for {Time(row.BeamOnSeconds)}{(isOfDrawing ? "" : " in an area of 100 um x 100 um")}. The machine file then says:\n");
        text.Append(CultureInfo.InvariantCulture, $"#   deflection: {{field: {Exact(row.Field.WidthNanometres / 1000)} um}}{(row.Field.Magnification is double times ? $"   at a magnification of {Exact(times)}" : "")}\n");
        text.Append(CultureInfo.InvariantCulture, $"#   beam: {{current: {Exact(row.Beam.CurrentAmperes * 1e12)} pA, spot: {Exact(row.Beam.SpotNanometres)} nm}}\n");
        string[] fills = [.. row.Layers.Zip(row.Strategies, (layer, strategy) => $"fill: {{{(strategy == FillStrategy.All[0] ? "" : $"strategy: {strategy.Word}, ")}line_pitch: {Codes(layer.Chosen.LinePitch)}, point_step: {Codes(layer.Chosen.PointStep)}}}")];
        if (!isOfDrawing || fills.Distinct().Count() == 1)
        {
            return text.Append(fills[0]).Append('\n').ToString();
        }

        text.Append("layers:\n");
        for (int i = 0; i < fills.Length; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"  - {{layer: {YamlScalar(row.Layers[i].Layer)}, {fills[i]}}}\n");
        }

        return text.ToString();
    }

    private static string[] Setting(PlanRow row, bool hasMagnification) =>
    [
        QuantityText.Format(row.Beam.CurrentAmperes, Dimension.Current, Digits),
        Length(row.Beam.SpotNanometres),
        Length(row.BlurNanometres),
        Length(row.Field.WidthNanometres),
        .. hasMagnification ? [row.Field.Magnification is double times ? Exact(times) : ""] : Array.Empty<string>(),
    ];

    private static string RuledBy(SpacingChoice choice) => (choice.PitchRule, choice.StepRule) switch
    {
        (SpacingRule.None, SpacingRule step) => SpacingText.Name(step),
        (SpacingRule pitch, SpacingRule step) when pitch == step || step == SpacingRule.None => SpacingText.Name(pitch),
        (SpacingRule pitch, SpacingRule step) => $"{SpacingText.Name(pitch)}, {SpacingText.Name(step)}",
    };

    private static string Codes(Spacing spacing) => CountText.Of(spacing.Codes, "code", "codes");

    // Names of layers come from drawings; a quoted scalar holds any of them.
    private static string YamlScalar(string text) => $"'{text.Replace("'", "''", StringComparison.Ordinal)}'";

    private static string Exact(double value) => NumberText.Format(Math.Round(value, 9));

    private static string Time(double seconds) => QuantityText.Format(seconds, Dimension.Time, Digits);

    private static string Length(double nanometres) => QuantityText.Format(nanometres * 1e-9, Dimension.Length, Digits);

    private static string Count(double number) => QuantityText.Format(number, Dimension.Fraction, Digits);

    private static string Percent(double part) => part is > 0 and < 1e-6 ? "0%" : $"{QuantityText.Format(part * 100, Dimension.Fraction, 2)}%";
}
