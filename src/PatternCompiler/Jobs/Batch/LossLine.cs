using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Jobs.Batch;

/// <summary>One loss of a build as a line of its record: a JSON array, so that no name of the input can end the line.</summary>
internal static class LossLine
{
    /// <summary>The line.</summary>
    public static string Print(Diagnostic loss)
    {
        using var line = new MemoryStream();
        using (var json = new Utf8JsonWriter(line, new JsonWriterOptions { Encoder = JavaScriptEncoder.Default }))
        {
            json.WriteStartArray();
            json.WriteStringValue(loss.Code.Id);
            json.WriteStringValue(loss.Message);
            json.WriteStringValue(loss.Fix);
            json.WriteStringValue(loss.Place.File);
            json.WriteNumberValue(loss.Place.Line);
            json.WriteNumberValue(loss.Place.Column);
            json.WriteStringValue(loss.Place.Entity);
            if (loss.Place.Item is ItemPlace item)
            {
                WriteItem(json, item);
            }

            json.WriteEndArray();
        }

        return Encoding.UTF8.GetString(line.ToArray());
    }

    private static void WriteItem(Utf8JsonWriter json, ItemPlace item)
    {
        json.WriteStartArray();
        json.WriteStringValue(item.Kind.ToString());
        json.WriteNumberValue(item.Number);
        json.WriteStringValue(item.Layer);
        json.WriteStringValue(item.Field);
        foreach (double? coordinate in (ReadOnlySpan<double?>)[item.XNanometres, item.YNanometres])
        {
            if (coordinate is double known)
            {
                json.WriteNumberValue(known);
            }
            else
            {
                json.WriteNullValue();
            }
        }

        json.WriteEndArray();
    }

    private static ItemPlace ReadItem(JsonElement item)
    {
        JsonElement[] parts = [.. item.EnumerateArray()];
        return parts.Length == 6 && Enum.TryParse(parts[0].GetString(), out ItemKind kind)
            ? new ItemPlace(kind, parts[1].GetInt64())
            {
                Layer = parts[2].GetString(),
                Field = parts[3].GetString(),
                XNanometres = Coordinate(parts[4]),
                YNanometres = Coordinate(parts[5]),
                IsComplete = true,
            }
            : throw new FormatException("a damaged place");

        static double? Coordinate(JsonElement value) => value.ValueKind == JsonValueKind.Null ? null : value.GetDouble();
    }

    /// <summary>Reads a line; null if it is damaged.</summary>
    public static Diagnostic? Parse(string line)
    {
        try
        {
            using JsonDocument json = JsonDocument.Parse(line);
            JsonElement[] parts = [.. json.RootElement.EnumerateArray()];
            return parts.Length is 7 or 8 && DiagnosticCatalogue.Find(parts[0].GetString() ?? "") is { } code && parts[1].GetString() is { } message
                ? new Diagnostic(
                    code,
                    Severity.Warning,
                    message,
                    new SourcePlace(parts[3].GetString(), parts[4].GetInt32(), parts[5].GetInt32(), parts[6].GetString()) { Item = parts.Length == 8 ? ReadItem(parts[7]) : null },
                    parts[2].GetString())
                : null;
        }
        catch (Exception fault) when (fault is JsonException or InvalidOperationException or FormatException)
        {
            return null;
        }
    }
}
