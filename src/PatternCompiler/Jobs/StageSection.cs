using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads the section of a machine file about the sample stage.</summary>
internal static class StageSection
{
    // A screw with more play, or a way round that is longer, is a wrong unit: common practice, no source.
    private const double LargestPlayNanometres = 1e6;
    private const double LargestFocusNanometres = 1e9;
    private const double MostScalePerMillimetre = 2;
    private const double NanometresPerMillimetre = 1e6;

    public static Stage Read(YamlNode node)
    {
        YamlMapping stage = node.AsMapping();
        return new Stage(
            stage.Optional("speed")?.AsPositive(Unit.NanometrePerSecond) ?? double.PositiveInfinity,
            stage.Required("settle").AsNonNegative(Unit.Second))
        {
            StepNanometres = stage.Optional("step")?.AsPositive(Unit.Nanometre) ?? 0,
            OriginNanometres = stage.Optional("origin") is YamlNode origin ? LengthPair.Read(origin) : (0, 0),
            Frame = ReadFrame(stage),
            BacklashNanometres = stage.Optional("backlash") is YamlNode backlash ? ReadBacklash(backlash) : (0, 0),
            ApproachNanometres = stage.Optional("approach") is YamlNode approach ? ReadApproach(approach) : null,
            Height = stage.Optional("height") is YamlNode height ? ReadHeight(height.AsMapping()) : null,
            InvertX = stage.Optional("invert_x")?.AsFlag() ?? false,
            InvertY = stage.Optional("invert_y")?.AsFlag() ?? false,
            RangeXNanometres = stage.Optional("range_x") is YamlNode x ? ReadRange(x) : null,
            RangeYNanometres = stage.Optional("range_y") is YamlNode y ? ReadRange(y) : null,
        };
    }

    private static LayerPlacement? ReadFrame(YamlMapping stage)
    {
        LayerPlacement frame = FrameKeys.Read(stage, (0, 0));
        return frame == LayerPlacement.Identity ? null : frame;
    }

    private static (double X, double Y) ReadBacklash(YamlNode node)
    {
        (double x, double y) = LengthPair.Read(node);
        return x is >= 0 and <= LargestPlayNanometres && y is >= 0 and <= LargestPlayNanometres
            ? (x, y)
            : throw node.OutOfRange($"{node.Name} must be from 0 to 1 mm in both directions, but it is {NumberText.Format(x / 1000)} and {NumberText.Format(y / 1000)} um", "write for example [3 um, 2 um]");
    }

    private static (double X, double Y)? ReadApproach(YamlNode node)
    {
        (double x, double y) = LengthPair.Read(node);
        if (!(Math.Abs(x) <= LargestPlayNanometres && Math.Abs(y) <= LargestPlayNanometres))
        {
            throw node.OutOfRange($"{node.Name} must be within 1 mm in both directions, but it is {NumberText.Format(x / 1000)} and {NumberText.Format(y / 1000)} um", "write for example [10 um, 10 um]");
        }

        return (x, y) == (0, 0) ? null : (x, y);
    }

    private static FieldHeight ReadHeight(YamlMapping height)
    {
        YamlNode focus = height.Required("focus");
        double reading = focus.AsQuantityIn(Unit.Nanometre);
        return Math.Abs(reading) <= LargestFocusNanometres
            ? new FieldHeight(reading, FrameKeys.Within(height.Required("scale_per_mm"), Unit.One, -MostScalePerMillimetre, MostScalePerMillimetre, 0, "9.8 %") / NanometresPerMillimetre)
            : throw focus.OutOfRange($"{focus.Name} must be within 1 m, but it is {focus.AsText()}", "write for example 10 mm");
    }

    private static (double Lowest, double Highest) ReadRange(YamlNode node)
    {
        (double lowest, double highest) = LengthPair.Read(node);
        return lowest < highest
            ? (lowest, highest)
            : throw node.OutOfRange($"{node.Name} must name the lowest reading first, then the highest", "write for example [-10 mm, 10 mm]");
    }
}
