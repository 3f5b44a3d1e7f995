using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Files;

namespace PatternCompiler.Jobs.Batch;

/// <summary>Writes the results of a batch for scripts.</summary>
public static class BatchJson
{
    /// <summary>Writes the results as one JSON object; the stream stays open.</summary>
    public static void Write(BatchPlan plan, IReadOnlyList<EntryResult> results, Stream target)
    {
        using var json = new Utf8JsonWriter(target, new JsonWriterOptions { Indented = true });
        json.WriteStartObject();
        json.WriteString("batch", plan.Name);
        json.WriteNumber("built", results.Count(result => result.Outcome == EntryOutcome.Built));
        json.WriteNumber("upToDate", results.Count(result => result.Outcome == EntryOutcome.UpToDate));
        json.WriteNumber("failed", results.Count(result => result.Outcome == EntryOutcome.Failed));
        json.WriteStartArray("entries");
        foreach (EntryResult result in results)
        {
            Write(result, json);
        }

        json.WriteEndArray();
        json.WriteEndObject();
        json.Flush();
        target.WriteByte((byte)'\n');
    }

    private static void Write(EntryResult result, Utf8JsonWriter json)
    {
        json.WriteStartObject();
        json.WriteString("job", FileName.ForJson(result.Entry.JobPath));
        json.WriteStartObject("values");
        foreach (VariedValue value in result.Entry.Values)
        {
            json.WriteString(value.Key, value.Text);
        }

        json.WriteEndObject();
        json.WriteString("outcome", result.Outcome switch
        {
            EntryOutcome.Built => "built",
            EntryOutcome.UpToDate => "up to date",
            _ => "failed",
        });
        json.WriteStartArray("reasons");
        foreach (string reason in result.Reasons)
        {
            json.WriteStringValue(reason);
        }

        json.WriteEndArray();
        if (result.HasNewBytes is bool isNew)
        {
            json.WriteBoolean("outputsChanged", isNew);
        }

        Write("inputs", result.Inputs, json);
        Write("outputs", result.Outputs, json);
        json.WriteStartArray("messages");
        foreach (Diagnostic diagnostic in result.Diagnostics)
        {
            json.WriteStartObject();
            json.WriteString("severity", diagnostic.Severity switch { Severity.Error => "error", Severity.Warning => "warning", _ => "note" });
            json.WriteString("code", diagnostic.Code.Id);
            json.WriteString("text", (diagnostic with { SourceLine = null }).ToString());
            json.WriteEndObject();
        }

        json.WriteEndArray();
        if (result.Summary is BuildSummary summary)
        {
            json.WriteStartObject("summary");
            json.WriteString("machine", summary.MachineName);
            json.WriteString("process", summary.ProcessName);
            json.WriteNumber("figures", summary.Figures.Figures);
            json.WriteNumber("strokes", summary.Strokes.Strokes);
            json.WriteNumber("records", summary.Exposure.Records);
            json.WriteNumber("chargeCoulombs", summary.Strokes.ChargeCoulombs);
            json.WriteNumber("writeSeconds", summary.Estimate.TotalSeconds);
            json.WriteEndObject();
        }

        json.WriteEndObject();
    }

    private static void Write(string name, IEnumerable<FileStamp> files, Utf8JsonWriter json)
    {
        json.WriteStartArray(name);
        foreach (FileStamp file in files)
        {
            json.WriteStartObject();
            json.WriteString("path", FileName.ForJson(file.Path));
            json.WriteNumber("bytes", file.Bytes);
            json.WriteString("sha256", file.Hash);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }
}
