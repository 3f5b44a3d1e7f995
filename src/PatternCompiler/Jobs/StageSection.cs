using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads the section of a machine file about the sample stage.</summary>
internal static class StageSection
{
    public static Stage Read(YamlNode node)
    {
        YamlMapping stage = node.AsMapping();
        return new Stage(
            stage.Optional("speed")?.AsPositive(Unit.NanometrePerSecond) ?? double.PositiveInfinity,
            stage.Required("settle").AsNonNegative(Unit.Second))
        {
            StepNanometres = stage.Optional("step")?.AsPositive(Unit.Nanometre) ?? 0,
            OriginNanometres = stage.Optional("origin") is YamlNode origin ? LengthPair.Read(origin) : (0, 0),
            InvertX = stage.Optional("invert_x")?.AsFlag() ?? false,
            InvertY = stage.Optional("invert_y")?.AsFlag() ?? false,
            RangeXNanometres = stage.Optional("range_x") is YamlNode x ? ReadRange(x) : null,
            RangeYNanometres = stage.Optional("range_y") is YamlNode y ? ReadRange(y) : null,
        };
    }

    private static (double Lowest, double Highest) ReadRange(YamlNode node)
    {
        (double lowest, double highest) = LengthPair.Read(node);
        return lowest < highest
            ? (lowest, highest)
            : throw node.OutOfRange($"{node.Name} must name the lowest reading first, then the highest", "write for example [-10 mm, 10 mm]");
    }
}
