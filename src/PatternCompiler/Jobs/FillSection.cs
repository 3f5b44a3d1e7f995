using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads how areas and lines are filled, for a whole job or one layer.</summary>
internal static class FillSection
{
    // A period of the slowest trigger, and then some.
    private const double LongestDelaySeconds = 10;

    /// <summary>Reads a 'fill' section.</summary>
    public static FillSettings Read(YamlNode node)
    {
        YamlMapping fill = node.AsMapping();
        return new FillSettings(
            fill.Optional("strategy")?.AsChoice(Choices.Strategy),
            fill.Optional("direction")?.AsChoice(Choices.LineDirection),
            fill.Optional("line_pitch") is YamlNode pitch ? ReadSpacing(pitch) : null,
            fill.Optional("point_step") is YamlNode step ? ReadSpacing(step) : null)
        {
            Placement = fill.Optional("placement")?.AsChoice(Choices.Placement),
            Passes = (int?)fill.Optional("passes")?.AsInteger(1, 1000),
            StaggersPasses = fill.Optional("stagger_passes")?.AsFlag(),
            Interlace = (int?)fill.Optional("interlace")?.AsInteger(1, 1000),
            Trigger = fill.Optional("trigger")?.AsChoice(Choices.Trigger),
            TriggerDelaySeconds = fill.Optional("trigger_delay") is YamlNode delay ? ReadDelay(delay) : null,
            SpreadsPasses = fill.Optional("trigger_phases")?.AsChoice(Choices.SpreadsPasses),
        };
    }

    private static double ReadDelay(YamlNode node)
    {
        double seconds = node.AsNonNegative(Unit.Second);
        return seconds <= LongestDelaySeconds
            ? seconds
            : throw node.OutOfRange($"{node.Name} must be at most {QuantityText.Format(LongestDelaySeconds, Dimension.Time)}, but it is {node.AsText()}", "look for a wrong unit");
    }

    /// <summary>A distance on the sample, a whole number of DAC codes, or 'automatic'.</summary>
    public static Spacing ReadSpacing(YamlNode node)
    {
        if (node.IsWord(SpacingValue.AutomaticName))
        {
            return Spacing.Automatic;
        }

        Quantity spacing = node.AsQuantity(Dimension.Length, Dimension.Codes);
        if (!(spacing.Number > 0))
        {
            throw node.OutOfRange($"{node.Name} must be above zero, but it is {node.AsText()}");
        }

        return SpacingValue.TryFrom(spacing, out Spacing result)
            ? result
            : throw node.OutOfRange($"{node.Name} must be a whole number of codes, but it is {node.AsText()}");
    }
}
