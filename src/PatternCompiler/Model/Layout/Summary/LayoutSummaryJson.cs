using System.Text.Json.Serialization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Files;

namespace PatternCompiler.Model.Layout.Summary;

/// <summary>Writes a summary as JSON for scripts.</summary>
internal static class LayoutSummaryJson
{
    /// <summary>Writes one object and a line feed.</summary>
    /// <param name="summary">The summary.</param>
    /// <param name="messages">Notes and warnings of the reader: what was ignored, what stayed open.</param>
    /// <param name="output">Takes the text; stays open.</param>
    public static void Write(LayoutSummary summary, IReadOnlyCollection<Diagnostic> messages, Stream output) =>
        JsonFile.Write(new SummaryDocument(summary, messages), SummaryTypes.Default, output);
}

/// <summary>Every property is a key, in this order.</summary>
internal readonly struct SummaryDocument(LayoutSummary summary, IReadOnlyCollection<Diagnostic> messages)
{
    private readonly LeftOut _left = LeftOut.Of(messages);
    private readonly double _step = summary.GridPicometres * 1e-3;

    public string Drawing => summary.Drawing;
    public long GridPicometres => summary.GridPicometres;
    public int Cells => summary.Cells;
    public ExtentDocument? ExtentNanometres => ExtentDocument.Of(summary.Extent, _step);
    public bool ExtentsAreUpperBounds => summary.IsExtentUpperBound;
    public long OpenOutlines => _left.OpenOutlines;
    public long IgnoredObjects => _left.IgnoredObjects;
    public IEnumerable<LayerDocument> Layers => LayerDocument.Of(summary.Layers, _step);
    public IEnumerable<MessageDocument> Messages => messages.Select(message => new MessageDocument(message));
}

internal readonly struct LayerDocument(LayerSummary layer, double step)
{
    public string Name => layer.Name;
    public double Rectangles => layer.Rectangles;
    public double Polygons => layer.Polygons;
    public double Circles => layer.Circles;
    public double Rings => layer.Rings;
    public double Paths => layer.Paths;
    public double Lines => layer.Lines;
    public double Dots => layer.Dots;
    public double Corners => layer.Corners;
    public double LowestDoseFactor => layer.LowestDose;
    public double HighestDoseFactor => layer.HighestDose;
    public ExtentDocument? ExtentNanometres => ExtentDocument.Of(layer.Extent, step);
    public double? SmallestFeatureNanometres => layer.SmallestFeatureNanometres;
    public double UnmeasuredPolygons => layer.UnmeasuredPolygons;

    public static IEnumerable<LayerDocument> Of(IEnumerable<LayerSummary> layers, double step) => layers.Select(layer => new LayerDocument(layer, step));
}

internal readonly struct ExtentDocument(LayoutExtent extent, double step)
{
    public double XMin => extent.XMin * step;
    public double YMin => extent.YMin * step;
    public double XMax => extent.XMax * step;
    public double YMax => extent.YMax * step;

    public static ExtentDocument? Of(LayoutExtent? extent, double step) => extent is { } e ? new(e, step) : null;
}

internal readonly struct MessageDocument(Diagnostic message)
{
    public string Code => message.Code.Id;
    public string Severity => JsonFile.Words(message.Severity);
    public string Place => message.Place.ToString();
    public string Text => message.Message;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public PlaceDocument? Where => PlaceDocument.Of(message.Place);
}

[JsonSerializable(typeof(SummaryDocument))]
internal sealed partial class SummaryTypes : JsonSerializerContext;
