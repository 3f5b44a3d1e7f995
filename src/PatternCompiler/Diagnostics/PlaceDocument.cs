using System.Text.Json.Serialization;

namespace PatternCompiler.Diagnostics;

/// <summary>A place as JSON documents carry it: the drawing's file, line, column and entity, and the figure, stroke or record that is meant.</summary>
internal sealed class PlaceDocument
{
    private readonly SourcePlace place;

    private PlaceDocument(SourcePlace place)
    {
        this.place = place;
    }

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public string? File => place.File;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public int Line => place.Line;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public int Column => place.Column;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public string? Entity => place.Entity;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public long? Figure => Number(ItemKind.Figure);

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public long? Stroke => Number(ItemKind.Stroke);

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public long? Record => Number(ItemKind.Record);

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public string? Field => place.Item?.Field;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public string? Layer => place.Item?.Layer;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public double? XNanometres => place.Item?.XNanometres;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public double? YNanometres => place.Item?.YNanometres;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public IEnumerable<PlaceDocument>? Also => place.Item is { Also.Count: > 0 } item ? item.Also.Select(other => new PlaceDocument(other)) : null;

    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public int More => place.Item?.More ?? 0;

    /// <summary>The place; null for one that says nothing.</summary>
    public static PlaceDocument? Of(SourcePlace place) => place == default ? null : new(place);

    private long? Number(ItemKind kind) => place.Item is ItemPlace item && item.Kind == kind && item.Number >= 0 ? item.Number : null;
}
