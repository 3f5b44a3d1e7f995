using System.Text.Encodings.Web;
using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Reports;

namespace PatternCompiler.Jobs.Provenance;

/// <summary>
/// Writes where outputs come from: the program's version, hashes of all inputs, every setting as it held, what was noticed, the results and hashes
/// of the outputs. The same build gives the same bytes wherever the project lies.
/// </summary>
internal static class ProvenanceFile
{
    /// <summary>Writes one object and a line feed.</summary>
    /// <param name="settings">Job, machine and process.</param>
    /// <param name="summary">What the build has made.</param>
    /// <param name="read">Drawings that it has read.</param>
    /// <param name="diagnostics">What it has reported.</param>
    /// <param name="output">Takes the JSON; stays open.</param>
    public static void Write(BuildSettings settings, BuildSummary summary, IEnumerable<ReportFile> read, IEnumerable<Diagnostic> diagnostics, Stream output)
    {
        var names = new ReportNames(settings.Job.File);
        using (var json = new Utf8JsonWriter(output, new JsonWriterOptions { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping }))
        {
            json.WriteStartObject();
            json.WriteNumber("provenance", 1);
            json.WriteString("toolVersion", settings.ToolVersion);
            WriteFiles(json, "inputs", SettingsHashes.Of(settings.Job).Concat(read).DistinctBy(file => file.Name).Select(file => file with { Name = names.Of(file.Name) }));
            WriteSettings(json, settings, names);
            json.WriteStartArray("messages");
            foreach (Diagnostic diagnostic in diagnostics)
            {
                json.WriteStringValue((names.Shorten(diagnostic) with { SourceLine = null }).ToString());
            }

            json.WriteEndArray();
            json.WriteStartObject("results");
            json.WriteNumber("figures", summary.Figures.Figures);
            json.WriteNumber("strokes", summary.Strokes.Strokes);
            json.WritePropertyName("estimate");
            EstimateJson.Write(summary.Estimate, json);
            json.WriteEndObject();
            WriteFiles(json, "outputs", summary.Files.Select(file => new ReportFile(names.Of(file.Path), file.Content, file.Bytes, file.Hash)));
            json.WriteEndObject();
        }

        output.WriteByte((byte)'\n');
    }

    private static void WriteSettings(Utf8JsonWriter json, BuildSettings settings, ReportNames names)
    {
        json.WriteStartObject("madeFor");
        json.WriteString("machine", SettingsDigests.Of(settings.Machine).ToString());
        json.WriteString("exposure", SettingsDigests.Of(settings.Process).ToString());
        json.WriteEndObject();
        json.WriteStartObject("settings");
        json.WritePropertyName("job");
        JsonSerializer.Serialize(json, Resolved(settings.Job, names), SettingsJson.Default.Job);
        json.WritePropertyName("machine");
        JsonSerializer.Serialize(json, settings.Machine, SettingsJson.Default.Machine);
        json.WritePropertyName("process");
        JsonSerializer.Serialize(json, settings.Process, SettingsJson.Default.Resist);
        json.WriteEndObject();
    }

    /// <summary>A job leaves open what it takes from the built-in one, and a layer what it takes from the job.</summary>
    private static Job Resolved(Job job, ReportNames names)
    {
        FillSettings fill = job.Fill.Over(DefaultFiles.Job.Fill);
        return job.WithOutputPaths(names.Of) with
        {
            File = NameOf(job.File),
            MachinePath = NameOf(job.MachinePath),
            ProcessPath = NameOf(job.ProcessPath),
            Sources = [.. job.Sources.Select(source => source with { Path = names.Of(source.Path) })],
            // Where this file itself goes decides nothing.
            ProvenancePath = null,
            Fill = fill,
            Layers = [.. job.Layers.Select(layer => layer with { Fill = layer.Fill.Over(fill) })],
        };

        string? NameOf(string? path) => path is null ? null : names.Of(path);
    }

    private static void WriteFiles(Utf8JsonWriter json, string name, IEnumerable<ReportFile> files)
    {
        json.WriteStartArray(name);
        foreach (ReportFile file in files)
        {
            json.WriteStartObject();
            json.WriteString("name", PrintedText.Of(file.Name));
            json.WriteString("role", file.Role);
            json.WriteNumber("bytes", file.Bytes);
            json.WriteString("sha256", file.Hash);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }
}
