using System.Collections.Immutable;
using System.Globalization;
using YamlDotNet.RepresentationModel;

namespace PatternCompiler.VirtualLab.Streams;

/// <summary>One visit of the stage: what it should read, what of the pattern is under the beam then, and which streams are written.</summary>
public sealed record FieldVisit(string Field, double StageXNanometres, double StageYNanometres, double CentreXNanometres, double CentreYNanometres, double MoveSeconds, ImmutableArray<string> Streams)
{
    /// <summary>Reading from which the stage is to come; null for anywhere.</summary>
    public (double X, double Y)? FromNanometres { get; init; }

    /// <summary>Working distance at which the field is in focus; null where nothing is said.</summary>
    public double? FocusMillimetres { get; init; }
}

/// <summary>A manifest of write fields, version 1, as its page says.</summary>
public static class FieldManifest
{
    /// <summary>The visits in their order, with the files of streams beside the manifest.</summary>
    public static ImmutableArray<FieldVisit> Read(string path)
    {
        var yaml = new YamlStream();
        using (StreamReader text = File.OpenText(path))
        {
            yaml.Load(text);
        }

        var root = (YamlMappingNode)yaml.Documents[0].RootNode;
        if (Text(root, "manifest") != "1")
        {
            throw new InvalidDataException("the manifest's version is not 1");
        }

        string folder = Path.GetDirectoryName(Path.GetFullPath(path))!;
        return
        [
            .. ((YamlSequenceNode)root["visits"]).Cast<YamlMappingNode>().Select(visit =>
            {
                (double stageX, double stageY) = Micrometres(visit, "stage_um");
                (double centreX, double centreY) = Micrometres(visit, "centre_um");
                return new FieldVisit(
                    Text(visit, "field"), stageX, stageY, centreX, centreY, double.Parse(Text(visit, "move_s"), CultureInfo.InvariantCulture),
                    [.. ((YamlSequenceNode)visit["files"]).Cast<YamlMappingNode>().Where(file => Text(file, "content") == "stream").Select(file => Path.Combine(folder, Text(file, "file")))])
                {
                    FromNanometres = visit.Children.ContainsKey("from_um") ? Micrometres(visit, "from_um") : null,
                    FocusMillimetres = visit.Children.ContainsKey("focus_mm") ? double.Parse(Text(visit, "focus_mm"), CultureInfo.InvariantCulture) : null,
                };
            }),
        ];
    }

    private static (double X, double Y) Micrometres(YamlMappingNode visit, string key)
    {
        double[] pair = [.. ((YamlSequenceNode)visit[key]).Select(node => 1000 * double.Parse(((YamlScalarNode)node).Value!, CultureInfo.InvariantCulture))];
        return (pair[0], pair[1]);
    }

    private static string Text(YamlMappingNode node, string key) => ((YamlScalarNode)node[key]).Value ?? "";
}
