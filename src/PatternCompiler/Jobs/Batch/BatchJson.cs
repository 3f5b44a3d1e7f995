using System.Text.Json.Serialization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Files;

namespace PatternCompiler.Jobs.Batch;

/// <summary>Writes the results of a batch for scripts.</summary>
internal static class BatchJson
{
    /// <summary>Writes the results as one JSON object; the stream stays open.</summary>
    public static void Write(BatchPlan plan, IReadOnlyList<EntryResult> results, Stream target) =>
        JsonFile.Write(new BatchDocument(plan, results), BatchTypes.Default, target);
}

/// <summary>Every property is a key, in this order.</summary>
internal readonly struct BatchDocument(BatchPlan plan, IReadOnlyList<EntryResult> results)
{
    public string Batch => plan.Name;
    public int Built => Count(EntryOutcome.Built);
    public int UpToDate => Count(EntryOutcome.UpToDate);
    public int Failed => Count(EntryOutcome.Failed);
    public IEnumerable<EntryDocument> Entries => results.Select(result => new EntryDocument(result));

    private int Count(EntryOutcome outcome) => results.Count(result => result.Outcome == outcome);
}

internal readonly struct EntryDocument(EntryResult result)
{
    public string Job => FileName.ForJson(result.Entry.JobPath);
    public Dictionary<string, string> Values => result.Entry.Values.ToDictionary(value => value.Key, value => value.Text);
    public string Outcome => JsonFile.Words(result.Outcome);
    public IEnumerable<string> Reasons => result.Reasons;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public bool? OutputsChanged => result.HasNewBytes;

    public IEnumerable<StampDocument> Inputs => result.Inputs.Select(file => new StampDocument(file));
    public IEnumerable<StampDocument> Outputs => result.Outputs.Select(file => new StampDocument(file));
    public IEnumerable<EntryMessageDocument> Messages => result.Diagnostics.Select(message => new EntryMessageDocument(message));

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public BuiltDocument? Summary => result.Summary is { } summary ? new(summary) : null;
}

internal readonly struct StampDocument(FileStamp file)
{
    public string Path => FileName.ForJson(file.Path);
    public long Bytes => file.Bytes;
    public string Sha256 => file.Hash;
}

internal readonly struct EntryMessageDocument(Diagnostic message)
{
    public string Severity => JsonFile.Words(message.Severity);
    public string Code => message.Code.Id;
    public string Text => (message with { SourceLine = null }).ToString();
}

internal readonly struct BuiltDocument(BuildSummary summary)
{
    public string Machine => summary.MachineName;
    public string Process => summary.ProcessName;
    public long Figures => summary.Figures.Figures;
    public long Strokes => summary.Strokes.Strokes;
    public long Records => summary.Exposure.Records;
    public double ChargeCoulombs => summary.Strokes.ChargeCoulombs;
    public double WriteSeconds => summary.Estimate.TotalSeconds;
}

[JsonSerializable(typeof(BatchDocument))]
internal sealed partial class BatchTypes : JsonSerializerContext;
