using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Files;
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
        var document = new ProvenanceDocument(
            1,
            settings.ToolVersion,
            Inputs(settings, read),
            new(SettingsDigests.Of(settings.Machine).ToString(), SettingsDigests.Of(settings.Process).ToString()),
            SettingsOf(settings),
            diagnostics.Select(diagnostic => (names.Shorten(diagnostic) with { SourceLine = null }).ToString()),
            new(summary.Figures.Figures, summary.Strokes.Strokes, new EstimateDocument(summary.Estimate)),
            Files(summary.Files.Select(file => new ReportFile(names.Of(file.Path), file.Content, file.Bytes, file.Hash))));
        JsonFile.Write(document, ProvenanceTypes.Default, output, JavaScriptEncoder.UnsafeRelaxedJsonEscaping);
    }

    /// <summary>What decides about the streams of a run: the program's version, hashes of all inputs, every setting as it holds, those of the run among them.</summary>
    /// <param name="settings">Job, machine and process.</param>
    /// <param name="read">Drawings that were read.</param>
    public static JsonElement CausesOf(BuildSettings settings, IEnumerable<ReportFile> read)
    {
        using var text = new MemoryStream();
        JsonFile.Write(new CausesDocument(1, settings.ToolVersion, Inputs(settings, read), RunSettingsOf(settings)), ProvenanceTypes.Default, text, JavaScriptEncoder.UnsafeRelaxedJsonEscaping);
        using JsonDocument document = JsonDocument.Parse(text.ToArray());
        return document.RootElement.Clone();
    }

    private static RunSettingsDocument RunSettingsOf(BuildSettings settings)
    {
        SettingsDocument all = SettingsOf(settings);
        return new(all.Job, all.Machine, all.Process, JsonSerializer.SerializeToElement(settings.Job.Run, SettingsJson.Default.RunSettings));
    }

    /// <summary>Every setting as it holds.</summary>
    public static SettingsDocument SettingsOf(BuildSettings settings) => new(
        JsonSerializer.SerializeToElement(Resolved(settings.Job, new ReportNames(settings.Job.File)), SettingsJson.Default.Job),
        JsonSerializer.SerializeToElement(settings.Machine, SettingsJson.Default.Machine),
        JsonSerializer.SerializeToElement(settings.Process, SettingsJson.Default.Resist));

    /// <summary>A job leaves open what it takes from the built-in one, and a layer what it takes from the job.</summary>
    private static Job Resolved(Job job, ReportNames names)
    {
        FillSettings fill = job.Fill.Over(DefaultFiles.Job.Fill);
        return job.WithOutputPaths(names.Of) with
        {
            File = NameOf(job.File),
            MachinePath = NameOf(job.MachinePath),
            ProcessPath = NameOf(job.ProcessPath),
            Alignment = job.Alignment is { } alignment ? alignment with { Paths = [.. alignment.Paths.Select(names.Of)] } : null,
            Looks = job.Looks is { } looks ? looks with { Below = [.. looks.Below.Select(source => source with { Path = names.Of(source.Path) })] } : null,
            Sources = [.. job.Sources.Select(source => source with { Path = names.Of(source.Path), Reading = StageOptions.Drawing(job, source) })],
            // Where this file itself goes decides nothing.
            ProvenancePath = null,
            PlacesPath = null,
            Fill = fill,
            Layers = [.. job.Layers.Select(layer => layer with { Fill = layer.Fill.Over(fill) })],
        };

        string? NameOf(string? path) => path is null ? null : names.Of(path);
    }

    private static IEnumerable<FileDocument> Inputs(BuildSettings settings, IEnumerable<ReportFile> read)
    {
        var names = new ReportNames(settings.Job.File);
        return Files(SettingsHashes.Of(settings.Job).Concat(read).DistinctBy(file => file.Name).Select(file => file with { Name = names.Of(file.Name) }));
    }

    private static IEnumerable<FileDocument> Files(IEnumerable<ReportFile> files) =>
        files.Select(file => new FileDocument(PrintedText.Of(file.Name), file.Role, file.Bytes, file.Hash));
}

/// <summary>Every property is a key, in this order.</summary>
internal sealed record ProvenanceDocument(
    int Provenance,
    string ToolVersion,
    IEnumerable<FileDocument> Inputs,
    MadeForDocument MadeFor,
    SettingsDocument Settings,
    IEnumerable<string> Messages,
    ResultsDocument Results,
    IEnumerable<FileDocument> Outputs);

/// <summary>Every property is a key, in this order.</summary>
internal sealed record CausesDocument(int Provenance, string ToolVersion, IEnumerable<FileDocument> Inputs, RunSettingsDocument Settings);

/// <summary>Every property is a key, in this order.</summary>
internal sealed record RunSettingsDocument(JsonElement Job, JsonElement Machine, JsonElement Process, JsonElement Run);

internal sealed record FileDocument(string Name, string Role, long Bytes, string? Sha256);

internal sealed record MadeForDocument(string Machine, string Exposure);

internal sealed record SettingsDocument(JsonElement Job, JsonElement Machine, JsonElement Process);

internal sealed record ResultsDocument(long Figures, long Strokes, EstimateDocument Estimate);

[JsonSerializable(typeof(ProvenanceDocument))]
[JsonSerializable(typeof(CausesDocument))]
internal sealed partial class ProvenanceTypes : JsonSerializerContext;
