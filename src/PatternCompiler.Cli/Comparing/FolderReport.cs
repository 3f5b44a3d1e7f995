using System.Text;
using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Files;

namespace PatternCompiler.Cli.Comparing;

/// <summary>A comparison of two folders for people and for scripts.</summary>
internal static class FolderReport
{
    private const int IndentWidth = 4;

    /// <summary>Each file that is not the same, with what differs; empty if there is none.</summary>
    public static string Text(FolderComparison comparison)
    {
        var text = new StringBuilder();
        foreach (FileComparison file in comparison.Files.Where(file => file.Outcome != FileOutcome.Same))
        {
            text.Append(Words(file.Outcome).PadRight(19)).Append(' ').Append(PrintedText.Of(file.Name)).Append('\n');
            string detail = file switch
            {
                { Outcome: FileOutcome.Different, Difference: null } => "the bytes differ; this is no document that is compared further",
                { Difference: { } difference } => ComparisonReport.Text(difference).TrimEnd('\n'),
                { Fault: { } fault } => fault.ToString(),
                _ => "",
            };
            foreach (string line in detail.Split('\n', StringSplitOptions.RemoveEmptyEntries))
            {
                text.Append(' ', IndentWidth).Append(line).Append('\n');
            }
        }

        return text.ToString();
    }

    /// <summary>One line of totals.</summary>
    public static string Totals(FolderComparison comparison)
    {
        string totals = $"{comparison.Count(FileOutcome.Same)} the same, {comparison.Count(FileOutcome.Different)} differ, "
            + $"{comparison.Count(FileOutcome.Missing)} missing, {comparison.Count(FileOutcome.New)} new";
        return comparison.Count(FileOutcome.Unreadable) is int unreadable and > 0 ? $"{totals}, {unreadable} cannot be compared" : totals;
    }

    /// <summary>Writes everything as one JSON object.</summary>
    /// <param name="comparison">The folders.</param>
    /// <param name="accepted">Names that the first folder took over.</param>
    /// <param name="removed">Names that were removed from the first folder.</param>
    /// <param name="target">Takes the JSON; stays open.</param>
    public static void WriteJson(FolderComparison comparison, IReadOnlyList<string> accepted, IReadOnlyList<string> removed, Stream target)
    {
        using var json = new Utf8JsonWriter(target, new JsonWriterOptions { Indented = true });
        json.WriteStartObject();
        json.WriteBoolean("same", comparison.Files.All(file => file.Outcome == FileOutcome.Same));
        json.WriteStartArray("files");
        foreach (FileComparison file in comparison.Files)
        {
            json.WriteStartObject();
            json.WriteString("name", FileName.ForJson(file.Name));
            json.WriteString("outcome", Words(file.Outcome));
            if (file.Difference is { } difference)
            {
                ComparisonReport.WriteJson(json, difference);
            }

            if (file.Fault is { } fault)
            {
                json.WriteString("code", fault.Code.Id);
                json.WriteString("text", fault.ToString());
            }

            json.WriteEndObject();
        }

        json.WriteEndArray();
        WriteNames(json, "accepted", accepted);
        WriteNames(json, "removed", removed);
        json.WriteEndObject();
        json.Flush();
        target.Write("\n"u8);
    }

    private static void WriteNames(Utf8JsonWriter json, string name, IReadOnlyList<string> files)
    {
        json.WriteStartArray(name);
        foreach (string file in files)
        {
            json.WriteStringValue(FileName.ForJson(file));
        }

        json.WriteEndArray();
    }

    private static string Words(FileOutcome outcome) => outcome switch
    {
        FileOutcome.Same => "same",
        FileOutcome.Different => "differs",
        FileOutcome.Missing => "only in the first",
        FileOutcome.New => "only in the second",
        _ => "cannot compare",
    };
}
