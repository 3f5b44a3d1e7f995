using System.Text.Json;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fill.Automatic;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>The part of an estimate's JSON that tells what filling decided.</summary>
internal static class FillJson
{
    /// <summary>Writes the travel and the chosen spacings of each layer.</summary>
    public static void Write(Utf8JsonWriter json, FillReport report)
    {
        json.WriteStartArray("travel");
        foreach (LayerTravel travel in report.Travels)
        {
            json.WriteStartObject();
            json.WriteString("layer", travel.Layer);
            json.WriteNumber("givenNanometres", travel.GivenNanometres);
            json.WriteNumber("orderedNanometres", travel.OrderedNanometres);
            json.WriteNumber("leastNanometres", travel.LeastNanometres);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteStartArray("chosenSpacings");
        foreach (SpacingChoice choice in report.Spacings)
        {
            json.WriteStartObject();
            json.WriteString("layer", choice.Layer);
            json.WriteString("linePitchRuledBy", NameOf(choice.PitchRule));
            json.WriteString("pointStepRuledBy", NameOf(choice.StepRule));
            json.WriteBoolean("hasReserve", choice.HasReserve);
            json.WriteNumber("lowestDoseFactor", choice.LowestDoseFactor);
            json.WriteNumber("highestDoseFactor", choice.HighestDoseFactor);
            WriteEffect(json, "chosen", choice.Chosen);
            WriteEffect(json, "finer", choice.Finer);
            WriteEffect(json, "coarser", choice.Coarser);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void WriteEffect(Utf8JsonWriter json, string name, SpacingEffect? effect)
    {
        if (effect is null)
        {
            json.WriteNull(name);
            return;
        }

        json.WriteStartObject(name);
        json.WriteNumber("linePitchCodes", effect.LinePitch.Codes);
        json.WriteNumber("pointStepCodes", effect.PointStep.Codes);
        json.WriteNumber("linePitchNanometres", effect.LinePitchNanometres);
        json.WriteNumber("pointStepNanometres", effect.PointStepNanometres);
        json.WriteNumber("shortestDwellSeconds", effect.ShortestDwellSeconds);
        json.WriteNumber("longestDwellSeconds", effect.LongestDwellSeconds);
        json.WriteNumber("nanometresPerSecond", effect.NanometresPerSecond);
        json.WriteNumber("lagNanometres", effect.LagNanometres);
        json.WriteNumber("linkBytesPerSecond", effect.LinkBytesPerSecond);
        json.WriteNumber("rippleAcross", effect.RippleAcross);
        json.WriteNumber("rippleAlong", effect.RippleAlong);
        json.WriteString("breaks", NameOf(effect.Breaks));
        json.WriteEndObject();
    }

    /// <summary>Null for no rule.</summary>
    private static string? NameOf(SpacingRule rule) => rule switch
    {
        SpacingRule.OneCode => "one code",
        SpacingRule.Spot => "spot",
        SpacingRule.ShortestDwell => "shortest dwell",
        SpacingRule.ClockTick => "clock tick",
        SpacingRule.DeflectionSpeed => "deflection speed",
        SpacingRule.DeflectionLag => "deflection lag",
        SpacingRule.Link => "link",
        SpacingRule.LongestDwell => "longest dwell",
        SpacingRule.Evenness => "evenness",
        _ => null,
    };
}
