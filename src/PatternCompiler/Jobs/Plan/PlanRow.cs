using System.Collections.Immutable;
using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Jobs.Plan;

/// <summary>What can be written with one beam in one field.</summary>
/// <param name="Beam">The beam.</param>
/// <param name="Field">The field.</param>
/// <param name="BlurNanometres">The beam in the resist, full width at half maximum.</param>
/// <param name="Layers">Spacing of every layer; empty where one has none.</param>
/// <param name="BeamOnSeconds">How long the beam is on; settling, waiting for the link and the stage come on top.</param>
/// <param name="WriteFields">Fields that the pattern takes; 1 if it fits one.</param>
/// <param name="PointElectrons">Electrons of the least exposed regular point; 0 where no spacing was found.</param>
/// <param name="FeatureElectrons">Electrons in a square (of single lines a length, of dots a dot) as wide as the smallest feature, at the lowest dose.</param>
/// <param name="Refusal">Why it cannot be written, or null.</param>
internal sealed record PlanRow(
    BeamSetting Beam,
    FieldSetting Field,
    double BlurNanometres,
    ImmutableArray<SpacingChoice> Layers,
    double BeamOnSeconds,
    int WriteFields,
    double PointElectrons,
    double FeatureElectrons,
    string? Refusal)
{
    /// <summary>How each of the layers is filled, for which its spacings hold.</summary>
    public ImmutableArray<FillStrategy> Strategies { get; init; } = [];

    /// <summary>The layer whose spacing is widest, which rules what the row can do; null where there is none.</summary>
    public SpacingChoice? Ruling => Layers.IsEmpty ? null : Layers.MaxBy(layer => Math.Max(layer.Chosen.LinePitchNanometres, layer.Chosen.PointStepNanometres));

    /// <summary>Relative standard deviation of the smallest feature's dose by the number of its electrons alone: 1/√N.</summary>
    public double DoseNoise => 1 / Math.Sqrt(FeatureElectrons);

    /// <summary>Largest ripple of the dose over all layers.</summary>
    public double Ripple => Layers.IsEmpty ? 0 : Layers.Max(layer => Math.Max(layer.Chosen.RippleAcross, layer.Chosen.RippleAlong));
}
