using System.Buffers;
using System.Collections.Immutable;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;

namespace PatternCompiler.Reports.Player;

/// <summary>
/// What a page plays: facts as JSON, and columns of numbers as bytes, in blocks, one behind the other, shortened by <see cref="RepeatCoding"/>,
/// then by <see cref="RangeCoding"/>, in base64. The script <c>Player.js</c> beside this file reads them.
/// </summary>
/// <param name="Name">Name of what is shown.</param>
/// <param name="Records">The records.</param>
internal sealed record PlayerDocument(string Name, PlayerRecords Records)
{
    private const int LongestMessage = 400;

    /// <summary>The figures on the pattern; null if they are not known.</summary>
    public PlayerFigures? Figures { get; init; }

    /// <summary>The predicted print; null for none.</summary>
    public PlayerPrint? Print { get; init; }

    /// <summary>Its current makes charge of time, its spot the width of strokes; null if it is not known.</summary>
    public Beam? Beam { get; init; }

    /// <summary>Warnings and notes that have a place.</summary>
    public ImmutableArray<Diagnostic> Messages { get; init; } = [];

    /// <summary>More that the page does not show, each a sentence.</summary>
    public ImmutableArray<string> Remarks { get; init; } = [];

    /// <summary>What the page does not hold, each a sentence with the reason; empty if it holds everything.</summary>
    public ImmutableArray<string> LeftOut
    {
        get
        {
            var told = ImmutableArray.CreateBuilder<string>();
            told.AddRange(Remarks);
            Tell(Records.Kept, Records.Total, "records", "are played, from the first on, to keep the page small; the pictures show all");
            Tell(Figures?.Kept ?? 0, Figures?.Total ?? 0, "figures", "are drawn, from the first on, to keep the page small");
            Tell(Print?.Kept ?? 0, Print?.Total ?? 0, "outlines of the predicted print", "are drawn, to keep the page small");
            return told.ToImmutable();

            void Tell(long kept, long total, string what, string how)
            {
                if (kept < total)
                {
                    told.Add($"{Pictures.FactText.Grouped(kept)} of {Pictures.FactText.Grouped(total)} {what} {how}.");
                }
            }
        }
    }

    /// <summary>All blocks in the order in which they are read: figures, print, records.</summary>
    private IEnumerable<ReadOnlyMemory<byte>> Parts =>
    [
        .. Figures?.Blocks.PartsOf(Figures.Columns) ?? [],
        .. Print is null ? [] : (ReadOnlyMemory<byte>[])[Print.Rings.Memory, Print.Corners.Memory],
        .. Records.Blocks.PartsOf(Records.Columns),
    ];

    /// <summary>The blocks, one behind the other, shortened, in base64.</summary>
    public string ToData()
    {
        var all = new ByteColumn();
        foreach (ReadOnlyMemory<byte> part in Parts)
        {
            all.AddAll(part.Span);
        }

        ByteColumn told = RepeatCoding.Encode(all.Bytes);
        var data = new ByteColumn();
        data.AddCount((ulong)told.Length);
        data.AddAll(RangeCoding.Encode(told.Bytes).Bytes);
        return Convert.ToBase64String(data.Bytes);
    }

    /// <summary>The facts as JSON, without a character that ends a script element.</summary>
    public string ToFacts()
    {
        var buffer = new ArrayBufferWriter<byte>();
        using (var json = new Utf8JsonWriter(buffer, new JsonWriterOptions { Encoder = JavaScriptEncoder.Default }))
        {
            json.WriteStartObject();
            json.WriteString("name", PrintedText.Of(Name));
            WriteBlocks(json);
            WriteExtent(json);
            WriteRecords(json);
            WriteFigures(json);
            WriteMessages(json);
            json.WriteEndObject();
        }

        return Encoding.UTF8.GetString(buffer.WrittenSpan);
    }

    private void WriteBlocks(Utf8JsonWriter json)
    {
        json.WriteStartObject("blocks");
        Write("figures", Figures?.Blocks.Lengths ?? []);
        WriteLengths("print", Print is null ? [] : [Print.Rings.Length, Print.Corners.Length]);
        Write("records", Records.Blocks.Lengths);
        json.WriteEndObject();

        void Write(string name, IEnumerable<int[]> blocks)
        {
            json.WriteStartArray(name);
            foreach (int[] lengths in blocks)
            {
                WriteLengths(null, lengths);
            }

            json.WriteEndArray();
        }

        void WriteLengths(string? name, int[] lengths)
        {
            if (name is null)
            {
                json.WriteStartArray();
            }
            else
            {
                json.WriteStartArray(name);
            }

            foreach (int length in lengths)
            {
                json.WriteNumberValue(length);
            }

            json.WriteEndArray();
        }
    }

    /// <summary>Left, bottom, right and top of what is shown: a page draws its frame before it has read where everything lies.</summary>
    private void WriteExtent(Utf8JsonWriter json)
    {
        PlayerExtent extent = Records.Extent.Joined(Figures?.Extent);
        json.WriteStartArray("extent");
        foreach (double side in extent.IsEmpty ? (double[])[] : [extent.Left, extent.Bottom, extent.Right, extent.Top])
        {
            json.WriteNumberValue(side);
        }

        json.WriteEndArray();
    }

    private void WriteRecords(Utf8JsonWriter json)
    {
        json.WriteNumber("records", Records.Kept);
        WriteBeam();
        json.WriteStartArray("parts");
        foreach (PlayerPart part in Records.Parts.Where(part => part.FirstRecord < Records.Kept))
        {
            (double originX, double originY) = new Model.Records.SamplePlane(part.Header).PlaceOf(0, 0);
            json.WriteStartObject();
            json.WriteNumber("record", part.FirstRecord);
            json.WriteString("name", PrintedText.Of(part.Name));
            json.WriteNumber("figure", part.FirstFigure);
            json.WriteNumber("moveSeconds", part.MoveSeconds);
            json.WriteNumber("clockHertz", part.Header.ClockHertz);
            json.WriteBoolean("swapped", part.Header.AxesAreSwapped);
            json.WriteNumber("originX", originX + part.XNanometres);
            json.WriteNumber("originY", originY + part.YNanometres);
            json.WriteNumber("stepX", part.Header.NanometresPerCodeX);
            json.WriteNumber("stepY", part.Header.NanometresPerCodeY);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteStartArray("stalls");
        foreach (PlayerPause pause in Records.Pauses)
        {
            json.WriteStartArray();
            json.WriteNumberValue(pause.Record);
            json.WriteNumberValue(pause.Seconds);
            json.WriteEndArray();
        }

        json.WriteEndArray();

        void WriteBeam()
        {
            if (Beam is null)
            {
                return;
            }

            json.WriteNumber("beamAmperes", Beam.CurrentAmperes);
            json.WriteNumber("spotNanometres", Beam.SpotNanometres);
            if (Beam.Later is { } later)
            {
                json.WriteNumber("laterAmperes", later.Amperes);
                json.WriteNumber("laterSeconds", later.Seconds);
            }
        }
    }

    private void WriteFigures(Utf8JsonWriter json)
    {
        json.WriteNumber("figures", Figures?.Kept ?? 0);
        json.WriteNumber("grid", (Figures?.Header.GridPicometres ?? 0) / 1000.0);
        json.WriteStartArray("layers");
        foreach (string layer in Figures?.Header.Layers ?? [])
        {
            json.WriteStringValue(PrintedText.Of(layer));
        }

        json.WriteEndArray();
        json.WriteStartArray("doses");
        foreach ((double area, double line, double dot) in Figures?.BaseDoses ?? [])
        {
            json.WriteStartArray();
            json.WriteNumberValue(area);
            json.WriteNumberValue(line);
            json.WriteNumberValue(dot);
            json.WriteEndArray();
        }

        json.WriteEndArray();
        json.WriteStartArray("places");
        foreach (string place in Figures?.PlaceTexts ?? [])
        {
            json.WriteStringValue(PrintedText.Of(place));
        }

        json.WriteEndArray();
        json.WriteNumber("printGrid", (Print?.GridPicometres ?? 0) / 1000.0);
        json.WriteStartArray("printWindow");
        foreach (double side in Print is null ? (double[])[] : [Print.Window.Left, Print.Window.Bottom, Print.Window.Right, Print.Window.Top])
        {
            json.WriteNumberValue(side);
        }

        json.WriteEndArray();
    }

    private void WriteMessages(Utf8JsonWriter json)
    {
        json.WriteStartArray("messages");
        foreach (Diagnostic told in Messages)
        {
            if (told.Place.Item is { XNanometres: double x, YNanometres: double y })
            {
                string text = $"{told.Code.Id} {told.Message}";
                json.WriteStartObject();
                json.WriteBoolean("isWarning", told.Severity != Severity.Note);
                json.WriteString("text", PrintedText.Cut(PrintedText.Of(text), LongestMessage));
                json.WriteNumber("x", x);
                json.WriteNumber("y", y);
                json.WriteEndObject();
            }
        }

        json.WriteEndArray();
    }
}
