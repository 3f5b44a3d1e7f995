using System.Text.Json.Serialization;
using PatternCompiler.Files;
using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Jobs.Plan;

/// <summary>Writes a plan as JSON for scripts.</summary>
internal static class PlanJson
{
    /// <summary>Writes one object and a line feed.</summary>
    public static void Write(WritingPlan plan, Stream output) => JsonFile.Write(new PlanDocument(plan), PlanTypes.Default, output);
}

/// <summary>Every property is a key, in this order.</summary>
internal readonly struct PlanDocument(WritingPlan plan)
{
    public double FeatureNanometres => plan.FeatureNanometres;
    public string TimesOf => plan.IsOfDrawing ? "drawing" : "100 um x 100 um";
    public IEnumerable<PlanRowDocument> Rows => plan.Rows.Select(row => new PlanRowDocument(row));
}

internal readonly struct PlanRowDocument(PlanRow row)
{
    public bool CanBeWritten => row.Refusal is null;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public string? Refusal => row.Refusal;

    public double CurrentAmperes => row.Beam.CurrentAmperes;
    public double SpotNanometres => row.Beam.SpotNanometres;
    public double BlurNanometres => row.BlurNanometres;
    public double FieldNanometres => row.Field.WidthNanometres;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public double? Magnification => row.Field.Magnification;

    public int WriteFields => row.WriteFields;
    public double BeamOnSeconds => row.BeamOnSeconds;
    public double PointElectrons => row.PointElectrons;
    public double FeatureElectrons => row.FeatureElectrons;
    public double DoseNoise => row.DoseNoise;
    public double Ripple => row.Ripple;
    public IEnumerable<PlanLayerDocument> Layers => row.Layers.Select(layer => new PlanLayerDocument(layer));
}

internal readonly struct PlanLayerDocument(SpacingChoice layer)
{
    public string Layer => layer.Layer;
    public int LinePitchCodes => layer.Chosen.LinePitch.Codes;
    public int PointStepCodes => layer.Chosen.PointStep.Codes;
    public double LinePitchNanometres => layer.Chosen.LinePitchNanometres;
    public double PointStepNanometres => layer.Chosen.PointStepNanometres;
    public double ShortestDwellSeconds => layer.Chosen.ShortestDwellSeconds;
    public double LongestDwellSeconds => layer.Chosen.LongestDwellSeconds;
    public double NanometresPerSecond => layer.Chosen.NanometresPerSecond;
    public double LinkBytesPerSecond => layer.Chosen.LinkBytesPerSecond;
    public string? LinePitchRuledBy => layer.PitchRule == SpacingRule.None ? null : JsonFile.Words(layer.PitchRule);
    public string? PointStepRuledBy => layer.StepRule == SpacingRule.None ? null : JsonFile.Words(layer.StepRule);
}

/// <summary>Types of a plan's JSON.</summary>
[JsonSerializable(typeof(PlanDocument))]
internal sealed partial class PlanTypes : JsonSerializerContext;
