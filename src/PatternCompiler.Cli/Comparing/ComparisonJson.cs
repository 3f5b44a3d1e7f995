using System.Text.Json.Serialization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Files;
using PatternCompiler.Prediction.Compare;

namespace PatternCompiler.Cli.Comparing;

/// <summary>What differs between two documents; every property is a key. Empty for documents that are the same byte for byte.</summary>
internal abstract class DifferenceDocument(DocumentComparison? comparison)
{
    protected DocumentComparison? Comparison { get; } = comparison;


    public string? Kind => Comparison?.Kind;
    public IEnumerable<ItemDifference>? Headers => Comparison?.Headers;
    public ItemsDocument? Items => Comparison?.Items is { } items ? new(items) : null;
    public IEnumerable<LayerDocument>? Layers => Comparison?.Layers.Select(layer => new LayerDocument(layer));
    public ExposureDocument? Exposure => Comparison?.Exposure is { } exposure ? new(exposure) : null;
}

/// <summary>Two documents.</summary>
internal sealed class ComparisonJson : DifferenceDocument
{
    private readonly CompareOptions _options;

    internal ComparisonJson(DocumentComparison? comparison, CompareOptions options)
        : base(comparison) => _options = options;

    [JsonPropertyOrder(-1)]
    public bool SameBytes => Comparison is null;

    [JsonPropertyOrder(-1)]
    public bool Same => Comparison is null || Comparison.AreEqual(_options);

    /// <summary>Writes one object and a line feed; null for documents that are the same byte for byte.</summary>
    public static void Write(DocumentComparison? comparison, CompareOptions options, Stream output) =>
        JsonFile.Write(new ComparisonJson(comparison, options), ComparisonTypes.Default, output);
}

/// <summary>Two folders.</summary>
internal readonly struct FolderJson(FolderComparison comparison, IReadOnlyList<string> accepted, IReadOnlyList<string> removed)
{
    public bool Same => comparison.Files.All(file => file.Outcome == FileOutcome.Same);
    public IEnumerable<FileDocument> Files => comparison.Files.Select(file => new FileDocument(file));
    public IEnumerable<string> Accepted => accepted.Select(FileName.ForJson);
    public IEnumerable<string> Removed => removed.Select(FileName.ForJson);

    /// <summary>Writes one object and a line feed.</summary>
    /// <param name="comparison">The folders.</param>
    /// <param name="accepted">Names that the first folder took over.</param>
    /// <param name="removed">Names that were removed from the first folder.</param>
    /// <param name="output">Takes the JSON; stays open.</param>
    public static void Write(FolderComparison comparison, IReadOnlyList<string> accepted, IReadOnlyList<string> removed, Stream output) =>
        JsonFile.Write(new FolderJson(comparison, accepted, removed), ComparisonTypes.Default, output);
}

internal sealed class FileDocument : DifferenceDocument
{
    private readonly FileComparison _file;

    internal FileDocument(FileComparison file)
        : base(file.Difference) => _file = file;

    [JsonPropertyOrder(-1)]
    public string Name => FileName.ForJson(_file.Name);

    [JsonPropertyOrder(-1)]
    public string Outcome => FolderReport.Words(_file.Outcome);

    [JsonPropertyOrder(1)]
    public string? Code => _file.Fault?.Code.Id;

    [JsonPropertyOrder(1)]
    public string? Text => _file.Fault?.ToString();
}

internal readonly struct ItemsDocument(ItemComparison items)
{
    public long First => items.FirstCount;
    public long Second => items.SecondCount;
    public long Differing => items.Differing;
    public long OnlyInFirst => items.OnlyInFirst;
    public long OnlyInSecond => items.OnlyInSecond;
    public ItemDifference? FirstDifference => items.FirstDifference;
}

internal readonly struct LayerDocument(LayerComparison layer)
{
    public string Layer => layer.Layer;
    public double DoseFactor => layer.DoseFactor.Value;
    public double FirstSquareNanometres => layer.FirstSquareNanometres;
    public double SecondSquareNanometres => layer.SecondSquareNanometres;
    public double DifferentSquareNanometres => layer.DifferentSquareNanometres;
    public double EdgeShiftNanometres => layer.EdgeShiftNanometres;
    public double XNanometres => layer.XNanometres;
    public double YNanometres => layer.YNanometres;
    public long UnmatchedLines => layer.UnmatchedLines;
}

internal readonly struct ExposureDocument(ExposureComparison exposure)
{
    public string Unit => exposure.Unit;
    public double CellNanometres => exposure.CellNanometres;
    public double First => exposure.FirstTotal;
    public double Second => exposure.SecondTotal;
    public double MovedFraction => exposure.MovedFraction;
    public long DifferingCells => exposure.DifferingCount;
    public double LargestFraction => exposure.LargestFraction;
}

[JsonSourceGenerationOptions(DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull)]
[JsonSerializable(typeof(ComparisonJson))]
[JsonSerializable(typeof(FolderJson))]
internal sealed partial class ComparisonTypes : JsonSerializerContext;
