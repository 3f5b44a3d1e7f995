using System.Collections.Immutable;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Jobs;

/// <summary>Reads the section of a job file that places its layer on the one below: values, or the file that 'fit alignment' has written.</summary>
internal static class AlignmentSection
{
    private const string Key = "alignment";

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

        return FrameKeys.Read(values, values.Optional("offset") is YamlNode offset ? LengthPair.Read(offset) : (0, 0));
    }
}
