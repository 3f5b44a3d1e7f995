using System.Collections.Immutable;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Order;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Report;

/// <summary>The settings of a job in words.</summary>
internal static class JobFacts
{
    /// <summary>Name and value of each.</summary>
    public static ImmutableArray<(string Name, string Value)> Of(Job job)
    {
        FillSettings fill = job.Fill.Over(DefaultFiles.Job.Fill);
        var facts = ImmutableArray.CreateBuilder<(string, string)>();
        facts.Add(("Layers written", job.Write.IsEmpty ? "all" : string.Join(", ", job.Write)));
        facts.Add(("Position", Choices.Position.WordOf(job.Position)));
        facts.Add(("Grid", Length(job.GridPicometres * 1e-12)));
        facts.Add(("Curves", $"polygons within {Length(job.ChordErrorNanometres * 1e-9)}"));
        facts.Add(("Fill", FillText(fill)));
        foreach (LayerSettings layer in job.Layers)
        {
            facts.Add(($"Fill of {layer.Layer}", FillText(layer.Fill.Over(fill)) + (layer.DoseFactor == DoseFactor.One ? "" : $", dose × {layer.DoseFactor}")));
        }

        if (job.Alignment is { Layers: var alignment })
        {
            if (alignment.Sample is { } sample)
            {
                facts.Add(("Sample on the stage", PlacementText(sample)));
            }
            else if (alignment.Whole is { } whole)
            {
                facts.Add(("Placed on the layer below", PlacementText(whole)));
            }

            foreach ((string field, LayerPlacement placement) in alignment.Fields)
            {
                facts.Add(($"Field {field} on the layer below", PlacementText(placement)));
            }
        }

        facts.Add(("Order", Choices.Order.WordOf(job.Order.Order)));
        facts.Add(("Proximity correction", job.Correction is null ? "none" : "yes"));
        return facts.ToImmutable();
    }

    private static string PlacementText(LayerPlacement placement) =>
        $"moved by ({Length(placement.OffsetXNanometres * 1e-9)}, {Length(placement.OffsetYNanometres * 1e-9)}), turned by {QuantityText.Format(placement.RotationDegrees, Dimension.Angle)}, "
        + $"scaled by {QuantityText.Format(placement.ScaleX, Dimension.Fraction, 6)} and {QuantityText.Format(placement.ScaleY, Dimension.Fraction, 6)}, skewed by {QuantityText.Format(placement.Skew, Dimension.Fraction)}";

    private static string FillText(FillSettings fill)
    {
        string text = $"{fill.Strategy} {Spacing(fill.LinePitch)} apart, points {Spacing(fill.PointStep)} apart";
        return fill.Passes is > 1 ? $"{text}, {fill.Passes} passes" : text;
    }

    private static string Spacing(Spacing? spacing) => spacing switch
    {
        { IsAutomatic: true } => "a chosen distance",
        { IsInCodes: true } codes => CountText.Of(codes.Codes, "code", "codes"),
        { } length => Length(length.Nanometres * 1e-9),
        null => "?",
    };

    private static string Length(double metres) => QuantityText.Format(metres, Dimension.Length).Replace(" u", " µ", StringComparison.Ordinal);
}
