using System.Collections.Immutable;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Jobs;

/// <summary>What the fill of each layer means for the correction of doses.</summary>
internal static class CorrectionLayers
{
    /// <summary>Layers with a fill or dose of their own.</summary>
    public static ImmutableDictionary<string, LayerDose> ByLayer(FillOptions fill, Machine machine) =>
        fill.ByLayer.ToImmutableDictionary(layer => layer.Key, layer => Of(layer.Value, fill, machine), StringComparer.Ordinal);

    /// <summary>One layer, or all that have nothing of their own.</summary>
    public static LayerDose Of(LayerFill layer, FillOptions fill, Machine machine)
    {
        LayerDoses doses = fill.DosesOf(layer);
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        double code = Math.Max(Math.Abs(mapping.NanometresPerCodeX), Math.Abs(mapping.NanometresPerCodeY));
        double pointSquareNanometres = Nanometres(layer.LinePitch, code) * Nanometres(layer.PointStep, code);
        const double SquareMetresPerSquareNanometre = 1e-18;
        return new LayerDose(
            doses.Factor * doses.AreaCoulombsPerSquareMetre / fill.AreaDoseCoulombsPerSquareMetre,
            doses.Factor * doses.LineCoulombsPerMetre / fill.LineDoseCoulombsPerMetre,
            doses.Factor * doses.DotCoulombs / fill.DotChargeCoulombs,
            // A spacing that is chosen later is chosen by the doses that come out.
            layer.LinePitch.IsAutomatic || layer.PointStep.IsAutomatic
                ? 0
                : layer.Passes * fill.SmallestPointChargeCoulombs
                    / (fill.AreaDoseCoulombsPerSquareMetre * pointSquareNanometres * SquareMetresPerSquareNanometre));
    }

    private static double Nanometres(Spacing spacing, double codeNanometres) =>
        spacing.IsInCodes ? spacing.Codes * codeNanometres : spacing.Nanometres;
}
