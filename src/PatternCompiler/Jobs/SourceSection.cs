using System.Collections.Immutable;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads an entry of 'sources' in a job file: one drawing.</summary>
internal static class SourceSection
{
    /// <summary>A file name alone, or with how it is read and where it lies.</summary>
    public static JobSource Read(YamlNode node, JobPaths paths)
    {
        if (node is YamlScalar)
        {
            return new JobSource(paths.Read(node));
        }

        YamlMapping source = node.AsMapping();
        string path = paths.Read(source.Required("file"));
        DrawingOptions reading = DrawingOptions.Default with
        {
            Layers = source.Optional("layers") is YamlNode layers ? [.. layers.AsOneOrMore().Select(layer => layer.AsText())] : [],
            TextAsStrokes = source.Optional("text")?.AsChoice(Choices.TextAsStrokes),
            Parameters = source.Optional("parameters") is YamlNode parameters
                ? parameters.AsMapping().Any().ToImmutableSortedDictionary(entry => entry.Key, entry => entry.Value.AsText(), StringComparer.Ordinal)
                : DrawingOptions.Default.Parameters,
        };
        foreach (SourceSetting setting in SourceSetting.All)
        {
            reading = source.Optional(setting.Key) is YamlNode value ? setting.Read(value, reading) : reading;
        }

        (double x, double y) = source.Optional("offset") is YamlNode offset ? LengthPair.Read(offset) : (0, 0);
        return new JobSource(path)
        {
            Reading = reading,
            Placement = new SourcePlacement
            {
                LayerPrefix = source.Optional("layer_prefix")?.AsText() ?? "",
                OffsetXNanometres = x,
                OffsetYNanometres = y,
                RotationDegrees = source.Optional("rotate")?.AsQuantityIn(Unit.Degree) ?? 0,
            },
        };
    }
}
