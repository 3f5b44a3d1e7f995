using System.Collections.Immutable;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads the section of a job file that places its layer on the one below: values, or the file that 'fit alignment' has written.</summary>
internal static class AlignmentSection
{
    private const string Key = "alignment";

    // Beyond these two layers do not belong to each other: common practice, no source.
    private const double SmallestScale = 0.5;
    private const double LargestScale = 2;
    private const double LargestSkew = 0.5;
    private const double LargestRotationDegrees = 360;

    /// <summary>Reads it.</summary>
    /// <param name="node">The section, or the name of a file.</param>
    /// <param name="paths">Resolves names of files.</param>
    /// <param name="hasFields">The job is divided into write fields.</param>
    public static JobAlignment Read(YamlNode node, JobPaths paths, bool hasFields)
    {
        var files = ImmutableArray.CreateBuilder<string>();
        if (node is not YamlMapping section || section.Entries.All(entry => entry.Key != "fields"))
        {
            return new JobAlignment(LayerAlignment.Of(Placement(node, paths, files)), files.ToImmutable());
        }

        YamlNode fields = section.Required("fields");
        if (!hasFields)
        {
            throw fields.OutOfRange($"{fields.Name} places write fields, and the job has none", "add 'fields' to the job, or give one alignment for the whole pattern");
        }

        var placements = ImmutableSortedDictionary.CreateBuilder<string, LayerPlacement>(StringComparer.Ordinal);
        foreach (YamlEntry entry in fields.AsMapping().Any())
        {
            placements[entry.Key] = Placement(entry.Value, paths, files);
        }

        return placements.Count > 0
            ? new JobAlignment(new LayerAlignment(null, placements.ToImmutable()), files.ToImmutable())
            : throw fields.OutOfRange($"{fields.Name} names no write field", "write for example {r01c01: marks-r01c01.yaml}");
    }

    private static LayerPlacement Placement(YamlNode node, JobPaths paths, ImmutableArray<string>.Builder files)
    {
        if (node is not YamlScalar)
        {
            return Values(node.AsMapping());
        }

        string path = paths.Read(node);
        files.Add(path);
        return YamlText.Read(paths.TextOf(path, Key), path, root => Values(root.Required(Key).AsMapping()));
    }

    private static LayerPlacement Values(YamlMapping values)
    {
        if (values.Entries.Count == 0)
        {
            throw values.Error(JobCodes.MissingKey, $"{values.Name} says nothing", "give at least one of offset, rotation, scale and skew, or leave it out");
        }

        (double x, double y) = values.Optional("offset") is YamlNode offset ? LengthPair.Read(offset) : (0, 0);
        double rotation = Within(values.Optional("rotation"), Unit.Degree, -LargestRotationDegrees, LargestRotationDegrees, 0, "0.8 deg");
        (double scaleX, double scaleY) = values.Optional("scale") is YamlNode scale ? Scales(scale) : (1, 1);
        double skew = Within(values.Optional("skew"), Unit.One, -LargestSkew, LargestSkew, 0, "0.2 %");
        return LayerPlacement.Of(x, y, rotation, scaleX, scaleY, skew);
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

    private static double Within(YamlNode? node, Unit unit, double lowest, double highest, double otherwise, string example)
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
}
