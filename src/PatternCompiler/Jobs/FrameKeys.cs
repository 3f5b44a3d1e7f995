using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads how one frame lies in another: the keys rotation, scale and skew of alignments, samples and stages.</summary>
internal static class FrameKeys
{
    // Beyond this two frames do not belong to each other: common practice, no source.
    private const double SmallestScale = 0.5;
    private const double LargestScale = 2;
    private const double LargestSkew = 0.5;
    private const double LargestRotationDegrees = 360;

    /// <summary>Reads them; what is left out changes nothing.</summary>
    /// <param name="values">The section.</param>
    /// <param name="offset">What is moved besides, in nanometres.</param>
    public static LayerPlacement Read(YamlMapping values, (double X, double Y) offset)
    {
        double rotation = Within(values.Optional("rotation"), Unit.Degree, -LargestRotationDegrees, LargestRotationDegrees, 0, "0.8 deg");
        (double scaleX, double scaleY) = values.Optional("scale") is YamlNode scale ? Scales(scale) : (1, 1);
        double skew = Within(values.Optional("skew"), Unit.One, -LargestSkew, LargestSkew, 0, "0.2 %");
        return LayerPlacement.Of(offset.X, offset.Y, rotation, scaleX, scaleY, skew);
    }

    /// <summary>Reads a number within limits.</summary>
    public static double Within(YamlNode? node, Unit unit, double lowest, double highest, double otherwise, string example)
    {
        if (node is null)
        {
            return otherwise;
        }

        double value = node.AsQuantityIn(unit);
        string symbol = unit.Symbol.Length == 0 ? "" : " " + unit.Symbol;
        return value >= lowest && value <= highest
            ? value
            : throw node.OutOfRange($"{node.Name} must be from {NumberText.Format(lowest)} to {NumberText.Format(highest)}{symbol}, but it is {node.AsText()}", $"write for example {example}");
    }

    private static (double X, double Y) Scales(YamlNode node)
    {
        if (node is YamlScalar)
        {
            double both = Scale(node);
            return (both, both);
        }

        IReadOnlyList<YamlNode> items = node.AsList();
        return items.Count == 2
            ? (Scale(items[0]), Scale(items[1]))
            : throw node.Error(JobCodes.WrongType, $"{node.Name} must be one number or a list of two, along x and y, but it has {items.Count}", "write for example 1.004");
    }

    private static double Scale(YamlNode node) => Within(node, Unit.One, SmallestScale, LargestScale, 1, "1.004");
}
