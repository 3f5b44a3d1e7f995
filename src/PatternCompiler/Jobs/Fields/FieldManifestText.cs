using System.Text;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Fields;

/// <summary>Writes a manifest as YAML that people and scripts can read: plain numbers, with the unit in each name. The format is explained in the README beside.</summary>
internal static class FieldManifestText
{
    /// <summary>The version of the format.</summary>
    public const int Version = 1;

    // A tenth of a micrometre of working distance.
    private const int FocusDecimals = 4;

    /// <summary>Writes to a stream, which stays open.</summary>
    public static void Write(FieldManifest manifest, Stream target)
    {
        FieldPlan plan = manifest.Plan;
        var text = new StringBuilder();
        text.Append("# Write fields in the order of the stage's visits. Lengths in micrometres, times in seconds. stage_um: what the stage\n")
            .Append("# reads; centre_um: the pattern's place under the undeflected beam; cell_um: left, bottom, right and top between seams.\n");
        Line("manifest", Version.ToString(System.Globalization.CultureInfo.InvariantCulture));
        Line("job", QuotedText.Quote(manifest.JobName));
        Line("machine", QuotedText.Quote(manifest.MachineName));
        Line("grid_pm", NumberText.Format(plan.GridPicometres));
        Line("reach_um", $"[{Um(plan.HalfWidth)}, {Um(plan.HalfHeight)}]");
        Line("fields", NumberText.Format(plan.Fields.Length));
        Line("move_s", Seconds(manifest.MoveSeconds));
        if (manifest.WriteSeconds is double write)
        {
            Line("write_s", Seconds(write));
            Line("total_s", Seconds(write + manifest.MoveSeconds));
        }

        text.Append("visits:\n");
        for (int i = 0; i < manifest.Visits.Length; i++)
        {
            FieldVisit visit = manifest.Visits[i];
            WriteField field = visit.Field;
            GridBox cell = field.Cell;
            text.Append($"  - {{visit: {i + 1}, field: {field.Name}, stage_um: [{Reading(visit.StageXNanometres)}, {Reading(visit.StageYNanometres)}], ")
                .Append(Details(visit.Details))
                .Append($"centre_um: [{Um(field.Centre.X)}, {Um(field.Centre.Y)}], ")
                .Append($"cell_um: [{Um(cell.XLeft)}, {Um(cell.YBottom)}, {Um(cell.XRight)}, {Um(cell.YTop)}], ")
                .Append($"figures: {visit.Figures}, move_s: {Seconds(visit.MoveSeconds)}")
                .Append(visit.WriteSeconds is double seconds ? $", write_s: {Seconds(seconds)}" : "");
            AppendFiles(text, visit);
            text.Append("}\n");
        }

        target.Write(Encoding.UTF8.GetBytes(text.ToString()));

        void Line(string key, string value) => text.Append(key).Append(": ").Append(value).Append('\n');

        string Um(int steps) => LengthText.Micrometres(steps, plan.GridPicometres);
    }

    private static void AppendFiles(StringBuilder text, FieldVisit visit)
    {
        if (visit.Files.IsEmpty)
        {
            return;
        }

        string separator = ", files: [";
        foreach (FieldFile file in visit.Files)
        {
            text.Append($"{separator}\n      {{file: {QuotedText.Quote(file.Path)}, content: {file.Content}, bytes: {file.Bytes}, sha256: \"{file.Hash}\"}}");
            separator = ",";
        }

        text.Append(']');
    }

    // What the stop has none of is not there.
    private static string Details(StopDetails details) =>
        (details.StartNanometres is (double startX, double startY) ? $"from_um: [{Reading(startX)}, {Reading(startY)}], " : "")
        + (details.FocusNanometres is double focus ? $"focus_mm: {NumberText.Format(Math.Round(focus * 1e-6, FocusDecimals, MidpointRounding.AwayFromZero) + 0.0)}, " : "")
        + (details.Remainder == (0, 0) ? "" : $"deflected_um: [{Reading(details.Remainder.X)}, {Reading(details.Remainder.Y)}], ");

    private static string Reading(double nanometres) => NumberText.Format(Math.Round(nanometres / 1000, 4, MidpointRounding.AwayFromZero) + 0.0);

    private static string Seconds(double seconds) => NumberText.Format(Math.Round(seconds, 6, MidpointRounding.AwayFromZero));
}
