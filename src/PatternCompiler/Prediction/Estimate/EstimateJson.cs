using System.Text.Json.Serialization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Files;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fill.Automatic;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>Writes an estimate as JSON for scripts.</summary>
internal static class EstimateJson
{
    /// <summary>Writes one object and a line feed.</summary>
    public static void Write(ExposureEstimate estimate, Stream output) => JsonFile.Write(new EstimateDocument(estimate), EstimateTypes.Default, output);
}

/// <summary>Every property is a key, in this order.</summary>
internal readonly struct EstimateDocument(ExposureEstimate e)
{
    public string Machine => e.MachineName;
    public TimeDocument Time => new(e);

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public TriggerEstimate? Triggers => e.Triggers;

    public long Records => e.Records;
    public long Lines => e.Lines;
    public long Points => e.Points;
    public long Jumps => e.Jumps;
    public long StreamBytes => e.StreamBytes;
    public long StreamBytesAsLines => e.LineStreamBytes;
    public long StreamBytesAsPoints => e.PointStreamBytes;
    public double ChargeCoulombs => e.ChargeCoulombs;
    public double Electrons => e.Electrons;
    public double FewestElectrons => e.FewestElectrons;
    public long FewestElectronsFigure => e.FewestElectronsFigure;
    public double ShotNoise => e.ShotNoise;
    public LinkEstimate Link => e.Link;
    public double StepXNanometres => e.StepXNanometres;
    public double StepYNanometres => e.StepYNanometres;
    public double SpotNanometres => e.SpotNanometres;
    public double BlurNanometres => e.BlurNanometres;
    public SpacingEstimate SpacingX => e.SpacingX;
    public SpacingEstimate SpacingY => e.SpacingY;
    public double PositionDeviationNanometres => e.PositionDeviationNanometres;
    public double ClockHertz => e.ClockHertz;
    public long ShortestDwellTicks => e.ShortestDwellTicks;
    public long LongestDwellTicks => e.LongestDwellTicks;
    public long MinimumDwellTicks => e.MinimumDwellTicks;
    public long MaximumDwellTicks => e.MaximumDwellTicks;
    public double DwellRounding => e.DwellRounding;
    public FieldEstimate Field => e.Field;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public StraysDocument? Strays => e.Strays is { } strays ? new(strays, e.StraysIfStraight) : null;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public FigureChargeEstimate? FigureCharge => e.FigureCharge;

    public IEnumerable<LayerTravel> Travel => e.Fill.Travels;
    public IEnumerable<ChosenSpacingDocument> ChosenSpacings => e.Fill.Spacings.Select(choice => new ChosenSpacingDocument(choice));
    public IEnumerable<WarningDocument> Warnings => e.Warnings.Select(warning => new WarningDocument(warning));
}

internal readonly struct TimeDocument(ExposureEstimate e)
{
    public double TotalSeconds => e.TotalSeconds;
    public double ExposingSeconds => e.ExposingSeconds;
    public double SettlingSeconds => e.SettlingSeconds;
    public double WaitingSeconds => e.WaitingSeconds;
    public double StallSeconds => e.Link.StallSeconds;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public double? TriggerSeconds => e.Triggers?.ExpectedSeconds;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public double? StageSeconds => e.Stage?.MoveSeconds;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public int? WriteFields => e.Stage?.Fields;
}

internal readonly struct StraysDocument(StrayReport strays, StrayReport? straight)
{
    public long PrintingJumps => strays.Printing;
    public double PrintedNanometres => strays.PrintedLengthNanometres;
    public double PrintedAroundPatternNanometres => strays.OutsideLengthNanometres;
    public double LargestDoseCoulombsPerSquareMetre => strays.LargestDoseCoulombsPerSquareMetre;
    public bool JudgedAlone => strays.IsAlone;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public double? FogPartOfOnset => strays.FogPartOfOnset > 0 ? strays.FogPartOfOnset : null;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public StrayTotalsDocument? IfStraight => straight is null ? null : new(straight);

    public IEnumerable<StrayJumpDocument> Worst => strays.Worst.Select(jump => new StrayJumpDocument(jump));
}

internal readonly struct StrayTotalsDocument(StrayReport strays)
{
    public long PrintingJumps => strays.Printing;
    public double PrintedNanometres => strays.PrintedLengthNanometres;
    public double PrintedAroundPatternNanometres => strays.OutsideLengthNanometres;
    public double LargestDoseCoulombsPerSquareMetre => strays.LargestDoseCoulombsPerSquareMetre;
}

internal readonly struct StrayJumpDocument(StrayJump jump)
{
    public long Record => jump.Record;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public string? Field => jump.Field;

    public int FromFigure => jump.FromFigure;
    public int ToFigure => jump.ToFigure;
    public double FromXNanometres => jump.FromXNanometres;
    public double FromYNanometres => jump.FromYNanometres;
    public double ToXNanometres => jump.ToXNanometres;
    public double ToYNanometres => jump.ToYNanometres;
    public double PrintedNanometres => jump.PrintedLengthNanometres;
    public double WidthNanometres => jump.PrintedWidthNanometres;
    public double DoseCoulombsPerSquareMetre => jump.PeakDoseCoulombsPerSquareMetre;
    public double OwnDoseCoulombsPerSquareMetre => jump.OwnDoseCoulombsPerSquareMetre;
    public string Cause => JsonFile.Words(jump.Cause);
}

internal readonly struct ChosenSpacingDocument(SpacingChoice choice)
{
    public string Layer => choice.Layer;
    public string? LinePitchRuledBy => EffectDocument.Rule(choice.PitchRule);
    public string? PointStepRuledBy => EffectDocument.Rule(choice.StepRule);
    public bool HasReserve => choice.HasReserve;
    public double LowestDoseFactor => choice.LowestDoseFactor;
    public double HighestDoseFactor => choice.HighestDoseFactor;
    public EffectDocument Chosen => new(choice.Chosen);
    public EffectDocument? Finer => choice.Finer is { } finer ? new(finer) : null;
    public EffectDocument Coarser => new(choice.Coarser);
}

internal readonly struct EffectDocument(SpacingEffect effect)
{
    public int LinePitchCodes => effect.LinePitch.Codes;
    public int PointStepCodes => effect.PointStep.Codes;
    public double LinePitchNanometres => effect.LinePitchNanometres;
    public double PointStepNanometres => effect.PointStepNanometres;
    public double ShortestDwellSeconds => effect.ShortestDwellSeconds;
    public double LongestDwellSeconds => effect.LongestDwellSeconds;
    public double NanometresPerSecond => effect.NanometresPerSecond;
    public double LagNanometres => effect.LagNanometres;
    public double LinkBytesPerSecond => effect.LinkBytesPerSecond;
    public double RippleAcross => effect.RippleAcross;
    public double RippleAlong => effect.RippleAlong;
    public string? Breaks => Rule(effect.Breaks);

    public static string? Rule(SpacingRule rule) => rule == SpacingRule.None ? null : JsonFile.Words(rule);
}

internal readonly struct WarningDocument(Diagnostic warning)
{
    public string Code => warning.Code.Id;
    public string Message => warning.Message;
    public string? Fix => warning.Fix;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public PlaceDocument? Where => PlaceDocument.Of(warning.Place);
}

[JsonSerializable(typeof(EstimateDocument))]
internal sealed partial class EstimateTypes : JsonSerializerContext;
