using System.Collections.Immutable;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>
/// Reads the section of a job file that says how the sample lies on the stage: values, or the file that 'fit sample' has written. The
/// stage goes by it, and so does the deflection, unless every write field is aligned by marks of its own.
/// </summary>
internal static class SampleSection
{
    private const string Key = "sample";
    private const double SteepestSlope = 0.2;
    private const double LargestFocusNanometres = 1e9;

    /// <summary>Adds the sample to what the job says of the layer's place.</summary>
    /// <param name="root">The top of the job.</param>
    /// <param name="paths">Resolves names of files.</param>
    /// <param name="alignment">What the job aligns its layer by; null for nothing.</param>
    public static JobAlignment? Read(YamlMapping root, JobPaths paths, JobAlignment? alignment)
    {
        if (root.Optional(Key) is not { } node)
        {
            return alignment;
        }

        if (root.Optional("fields") is null)
        {
            throw node.OutOfRange("'sample' says where the stage goes, and a job without write fields does not move it", "add 'fields' to the job");
        }

        if (alignment is { Layers.Whole: not null })
        {
            throw root.Required("alignment").OutOfRange(
                "'sample' and 'alignment' would both place the whole pattern", "leave one of them out, or align every write field by marks of its own ('alignment.fields')");
        }

        ImmutableArray<string> files = alignment?.Paths ?? [];
        if (node is not YamlScalar)
        {
            return Placed(Values(node.AsMapping()));
        }

        string path = paths.Read(node);
        files = files.Add(path);
        return Placed(YamlText.Read(paths.TextOf(path, Key), path, file => Values(file.Required(Key).AsMapping())));

        JobAlignment Placed((LayerPlacement Sample, FocusPlane? Focus) values) =>
            new((alignment?.Layers ?? LayerAlignment.Of(values.Sample)) with { Sample = values.Sample, Focus = values.Focus }, files);
    }

    private static (LayerPlacement Sample, FocusPlane? Focus) Values(YamlMapping values)
    {
        if (values.Entries.Count == 0)
        {
            throw values.Error(JobCodes.MissingKey, $"{values.Name} says nothing", "give at least one of offset, rotation, scale, skew and focus, or leave it out");
        }

        LayerPlacement placement = FrameKeys.Read(values, values.Optional("offset") is YamlNode offset ? LengthPair.Read(offset) : (0, 0));
        return (placement, values.Optional("focus") is YamlNode focus ? ReadFocus(focus.AsMapping()) : null);
    }

    private static FocusPlane ReadFocus(YamlMapping focus)
    {
        YamlNode at = focus.Required("at_origin");
        double reading = at.AsQuantityIn(Unit.Nanometre);
        return Math.Abs(reading) <= LargestFocusNanometres
            ? new FocusPlane(
                reading,
                FrameKeys.Within(focus.Optional("slope_x"), Unit.One, -SteepestSlope, SteepestSlope, 0, "0.08 %"),
                FrameKeys.Within(focus.Optional("slope_y"), Unit.One, -SteepestSlope, SteepestSlope, 0, "0.08 %"))
            : throw at.OutOfRange($"{at.Name} must be within 1 m, but it is {at.AsText()}", "write for example 10.02 mm");
    }
}
