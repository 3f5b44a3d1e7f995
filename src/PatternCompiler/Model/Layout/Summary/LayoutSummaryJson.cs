using System.Text.Json;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Model.Layout.Summary;

/// <summary>
/// Writes a summary as JSON for scripts. Names end in their unit; none is ever renamed or given another meaning.
/// </summary>
public static class LayoutSummaryJson
{
    /// <summary>Writes one object and a line feed.</summary>
    /// <param name="summary">The summary.</param>
    /// <param name="messages">Notes and warnings of the reader: what was ignored, what stayed open.</param>
    /// <param name="output">Takes the text; stays open.</param>
    public static void Write(LayoutSummary summary, IReadOnlyCollection<Diagnostic> messages, Stream output)
    {
        double step = summary.GridPicometres * 1e-3;
        using (var json = new Utf8JsonWriter(output, new JsonWriterOptions { Indented = true, NewLine = "\n" }))
        {
            json.WriteStartObject();
            json.WriteString("drawing", summary.Drawing);
            json.WriteNumber("gridPicometres", summary.GridPicometres);
            json.WriteNumber("cells", summary.Cells);
            WriteExtent(json, summary.Extent, step);
            json.WriteBoolean("extentsAreUpperBounds", summary.IsExtentUpperBound);
            LeftOut left = LeftOut.Of(messages);
            json.WriteNumber("openOutlines", left.OpenOutlines);
            json.WriteNumber("ignoredObjects", left.IgnoredObjects);
            json.WriteStartArray("layers");
            foreach (LayerSummary layer in summary.Layers)
            {
                WriteLayer(json, layer, step);
            }

            json.WriteEndArray();
            WriteMessages(json, messages);
            json.WriteEndObject();
        }

        output.WriteByte((byte)'\n');
    }

    private static void WriteLayer(Utf8JsonWriter json, LayerSummary layer, double step)
    {
        json.WriteStartObject();
        json.WriteString("name", layer.Name);
        json.WriteNumber("rectangles", layer.Rectangles);
        json.WriteNumber("polygons", layer.Polygons);
        json.WriteNumber("circles", layer.Circles);
        json.WriteNumber("rings", layer.Rings);
        json.WriteNumber("paths", layer.Paths);
        json.WriteNumber("lines", layer.Lines);
        json.WriteNumber("dots", layer.Dots);
        json.WriteNumber("corners", layer.Corners);
        json.WriteNumber("lowestDoseFactor", layer.LowestDose);
        json.WriteNumber("highestDoseFactor", layer.HighestDose);
        WriteExtent(json, layer.Extent, step);
        if (layer.SmallestFeatureNanometres is double size)
        {
            json.WriteNumber("smallestFeatureNanometres", size);
        }
        else
        {
            json.WriteNull("smallestFeatureNanometres");
        }

        json.WriteNumber("unmeasuredPolygons", layer.UnmeasuredPolygons);
        json.WriteEndObject();
    }

    private static void WriteExtent(Utf8JsonWriter json, LayoutExtent? extent, double step)
    {
        if (extent is not LayoutExtent e)
        {
            json.WriteNull("extentNanometres");
            return;
        }

        json.WriteStartObject("extentNanometres");
        json.WriteNumber("xMin", e.XMin * step);
        json.WriteNumber("yMin", e.YMin * step);
        json.WriteNumber("xMax", e.XMax * step);
        json.WriteNumber("yMax", e.YMax * step);
        json.WriteEndObject();
    }

    private static void WriteMessages(Utf8JsonWriter json, IEnumerable<Diagnostic> messages)
    {
        json.WriteStartArray("messages");
        foreach (Diagnostic message in messages)
        {
            json.WriteStartObject();
            json.WriteString("code", message.Code.Id);
            json.WriteString("severity", message.Severity.ToString().ToLowerInvariant());
            json.WriteString("place", message.Place.ToString());
            json.WriteString("text", message.Message);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }
}
