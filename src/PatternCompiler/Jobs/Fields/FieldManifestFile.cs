using System.Collections.Immutable;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Jobs.Fields;

/// <summary>Reads a manifest.</summary>
internal static class FieldManifestFile
{
    private const double LargestGridPicometres = 1e9;

    /// <summary>True if a document that starts with these bytes is a manifest.</summary>
    public static bool Recognises(ReadOnlySpan<byte> firstBytes) => firstBytes.StartsWith("# Write fields "u8) || firstBytes.StartsWith("manifest:"u8);

    /// <summary>Reads a manifest to the end of a stream, which stays open.</summary>
    /// <param name="source">Where it comes from.</param>
    /// <param name="name">Name for messages.</param>
    /// <exception cref="Diagnostics.CompileException">It is no manifest.</exception>
    public static FieldManifest Read(Stream source, string name) => Parse(YamlText.Load(source, name), name);

    /// <summary>Reads the text of a manifest.</summary>
    /// <param name="yaml">The text.</param>
    /// <param name="file">File name for messages.</param>
    /// <exception cref="Diagnostics.CompileException">It is no manifest.</exception>
    public static FieldManifest Parse(string yaml, string? file) => YamlText.Read(yaml, file, ReadManifest);

    internal static FieldManifest ReadManifest(YamlMapping root)
    {
        root.Accept("fields", "move_s", "write_s", "total_s");
        long version = root.Required("manifest").AsInteger(1, int.MaxValue);
        if (version != FieldManifestText.Version)
        {
            throw root.Required("manifest").OutOfRange(
                $"the manifest has version {version}, but only version {FieldManifestText.Version} is known", "divide the pattern again with this program");
        }

        double grid = root.Required("grid_pm").AsReal();
        if (!(grid >= 1 && grid <= LargestGridPicometres && grid == Math.Floor(grid)))
        {
            throw root.Required("grid_pm").OutOfRange("'grid_pm' must be a whole number of picometres above zero");
        }

        int[] reach = Steps(root.Required("reach_um"), 2, grid, GridPoint.Limit);
        if (reach[0] <= 0 || reach[1] <= 0)
        {
            throw root.Required("reach_um").OutOfRange("'reach_um' must be above zero in both directions", "divide the pattern again");
        }

        ImmutableArray<FieldVisit> visits = [.. root.Required("visits").AsList().Select(node => ReadVisit(node, grid))];
        var plan = new FieldPlan((long)grid, reach[0], reach[1], [.. visits.Select(visit => visit.Field)]);
        return new FieldManifest(root.Required("job").AsText(), root.Required("machine").AsText(), plan, visits);
    }

    private static FieldVisit ReadVisit(YamlNode node, double grid)
    {
        YamlMapping visit = node.AsMapping();
        visit.Accept("visit");
        string name = visit.Required("field").AsText();
        int[] centre = Steps(visit.Required("centre_um"), 2, grid, GridPoint.Limit);
        int[] cell = Steps(visit.Required("cell_um"), 4, grid, int.MaxValue);
        double[] stage = Numbers(visit.Required("stage_um"), 2);
        (int row, int column) = PlaceOf(visit.Required("field"), name);
        return new FieldVisit(
            new WriteField(row, column, name, new GridPoint(centre[0], centre[1]), new GridBox(cell[0], cell[1], cell[2], cell[3])),
            stage[0] * 1000,
            stage[1] * 1000,
            (int)visit.Required("figures").AsInteger(0, int.MaxValue),
            visit.Required("move_s").AsReal(),
            visit.Optional("write_s")?.AsReal(),
            visit.Optional("files") is YamlNode files ? [.. files.AsList().Select(ReadFile)] : [])
        {
            Details = new StopDetails(
                visit.Optional("from_um") is YamlNode from ? Pair(from) : null,
                visit.Optional("focus_mm") is YamlNode focus ? focus.AsReal() * 1e6 : null,
                visit.Optional("deflected_um") is YamlNode deflected ? Pair(deflected) : (0, 0)),
        };
    }

    private static FieldFile ReadFile(YamlNode node)
    {
        YamlMapping file = node.AsMapping();
        return new FieldFile(
            file.Required("file").AsText(), file.Required("content").AsText(), file.Required("bytes").AsInteger(0, long.MaxValue), file.Required("sha256").AsText());
    }

    private static (int Row, int Column) PlaceOf(YamlNode node, string name)
    {
        int split = name.IndexOf('c', StringComparison.Ordinal);
        return name.StartsWith('r') && split > 1
            && int.TryParse(name.AsSpan(1, split - 1), System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out int row)
            && int.TryParse(name.AsSpan(split + 1), System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out int column)
            && row > 0 && column > 0
            ? (row - 1, column - 1)
            : throw node.OutOfRange($"{node.Name} must name a row and a column, but it is '{name}'", "write for example r01c02");
    }

    private static int[] Steps(YamlNode node, int count, double grid, int limit)
    {
        const double PicometresPerMicrometre = 1e6;
        return [.. Numbers(node, count).Select(um =>
        {
            double steps = Math.Round(um * PicometresPerMicrometre / grid);
            return Math.Abs(steps) <= limit ? (int)steps : throw node.OutOfRange($"{node.Name} is beyond the largest coordinate");
        })];
    }

    private static (double X, double Y) Pair(YamlNode node)
    {
        double[] um = Numbers(node, 2);
        return (um[0] * 1000, um[1] * 1000);
    }

    private static double[] Numbers(YamlNode node, int count)
    {
        IReadOnlyList<YamlNode> items = node.AsList();
        return items.Count == count
            ? [.. items.Select(item => item.AsReal())]
            : throw node.Error(JobCodes.WrongType, $"{node.Name} must be a list of {count} numbers, but it has {items.Count}", "divide the pattern again");
    }
}
