using System.Buffers.Binary;
using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>GDSII streams that are damaged, or made to do harm. Record types by the format's published description (release 6).</summary>
internal static class HostileGdsii
{
    public static IEnumerable<HostileDrawing> All =>
    [
        new("truncated.gds", " (byte 159): error PC0502: the stream ends before its ENDLIB record", () => Stream(Cell("T", Square))[..^9]),
        new("length-0.gds", " (byte 96): error PC0503: a record of 0 bytes; lengths are even and 4 at least", () => Within([0, 0, 8, 0])),
        new("length-2.gds", " (byte 96): error PC0503: a record of 2 bytes; lengths are even and 4 at least", () => Within([0, 2, 8, 0])),
        new("length-odd.gds", " (byte 96): error PC0503: a record of 5 bytes; lengths are even and 4 at least", () => Within([0, 5, 8, 0, 0])),
        new("length-beyond-the-end.gds", ": error PC0502: the stream ends before its ENDLIB record", () => Within([0xff, 0xfe, 0x10, 3])),
        new("units-of-8-bytes.gds", " (byte 42): error PC0503: record Units has 8 bytes of data, it needs 16", () => Stream(Cell("T", Square), new byte[8])),
        new("units-of-zero.gds", " (byte 42): error PC0503: the UNITS record holds a unit that is not above zero", () => Stream(Cell("T", Square), new byte[16])),
        new("coordinates-of-12-bytes.gds", " (byte 100): error PC0503: coordinates of 12 bytes; each point takes 8", () => Within(Record(0x0800), Record(0x1003, new byte[12]))),
        new("columns-without-rows.gds", " (byte 100): error PC0503: record ColumnsRows has 2 bytes of data, it needs 4", () => Within(Record(0x0B00), Record(0x1302, 0, 1))),
        new("magnification-of-4-bytes.gds", " (byte 100): error PC0503: record Magnification has 4 bytes of data, it needs 8", () => Within(Record(0x0A00), Record(0x1B05, new byte[4]))),
        new("transformation-of-0-bytes.gds", " (byte 100): error PC0503: record Transformation has 0 bytes of data, it needs 2", () => Within(Record(0x0A00), Record(0x1A01))),
        new("layer-of-0-bytes.gds", " (byte 100): error PC0503: record Layer has 0 bytes of data, it needs 2", () => Within(Record(0x0800), Record(0x0D02))),
        new("width-of-2-bytes.gds", " (byte 100): error PC0503: record Width has 2 bytes of data, it needs 4", () => Within(Record(0x0900), Record(0x0F03, 0, 1))),
        new("magnification-1e75.gds", " (SREF in cell T, element 1, T > A): error PC1027: a shape of cell 'A' lies beyond the grid of 0.1 nm", () => Stream([.. Cell("A", Square), .. Cell("T", [.. Record(0x0A00), .. Name(0x1206, "A"), .. Record(0x1B05, 0x7f, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff), .. Integers(0, 0), .. Record(0x1100)])]), "fracture"),
        new("cell-in-itself.gds", ": error PC0507: cell A contains itself; delete this reference", () => Stream([.. Cell("T", Place("A")), .. Cell("A", [.. Square, .. Place("A")])])),
        new("cells-10000-deep.gds", ": error PC0508: cells are nested more than 256 deep", () => Nest(10_000, Place)),
        new("arrays-of-arrays.gds", "error PC1024: written out flat, this drawing has 4.61e+18 points; 1000", () => Nest(2, name => Array(name, 32767, 32767, 32767, 32767)), "fracture"),
        new("array-off-the-grid.gds", ": error PC0504: an array of 32767 × 32767 has a spacing that is not a whole number of grid steps, and more than 1000000 placements would have to be written out", () => Nest(1, name => Array(name, 32767, 32767, 3_276_701, 3_276_701))),
        new("arrays-off-the-grid.gds", ": error PC0504: an array of 900 × 900 has a spacing that is not a whole number of grid steps, and more than 1000000 placements would have to be written out", () => Nest(200, name => Array(name, 900, 900, 90_001, 90_001))),
        new("ten-cells-in-each.gds", "error PC1024: written out flat, this drawing has 4e+20 points; 1000", () => Nest(20, name => [.. Enumerable.Range(0, 10).SelectMany(i => Place(name, i))]), "fracture"),
        new("png.gds", ": error PC0601: this is a PNG picture, and the size of its pixels is not stated", () => [0x89, (byte)'P', (byte)'N', (byte)'G', 13, 10, 26, 10, .. new byte[5000]]),
        new("utf-16.gds", ": error PC0702: this is UTF-16 text (save it as UTF-8), not a drawing", () => [.. Encoding.Unicode.GetPreamble(), .. Encoding.Unicode.GetBytes("HEADER")]),
    ];

    /// <summary>A square, and an outline of two corners, which covers nothing.</summary>
    public static byte[] Flat =>
        Stream(Cell("T", [.. Square, .. Record(0x0800), .. Record(0x0D02, 0, 1), .. Record(0x0E02, 0, 0), .. Integers(0, 0, 10, 0, 0, 0), .. Record(0x1100)]));

    private static byte[] Square =>
        [.. Record(0x0800), .. Record(0x0D02, 0, 1), .. Record(0x0E02, 0, 0), .. Integers(0, 0, 10, 0, 10, 10, 0, 10, 0, 0), .. Record(0x1100)];

    private static byte[] Place(string name) => Place(name, 0);

    private static byte[] Place(string name, int x) => [.. Record(0x0A00), .. Name(0x1206, name), .. Integers(x, 0), .. Record(0x1100)];

    private static byte[] Array(string name, int columns, int rows, int width, int height) =>
    [
        .. Record(0x0B00), .. Name(0x1206, name), .. Record(0x1302, (byte)(columns >> 8), (byte)columns, (byte)(rows >> 8), (byte)rows),
        .. Integers(0, 0, width, 0, 0, height), .. Record(0x1100),
    ];

    // A cell with a square, and cells that each hold the one before.
    private static byte[] Nest(int count, Func<string, byte[]> content)
    {
        var cells = new List<byte>(Cell("C0", Square));
        for (int i = 1; i <= count; i++)
        {
            cells.AddRange(Cell($"C{i}", content($"C{i - 1}")));
        }

        return Stream([.. cells]);
    }

    private static byte[] Within(params byte[][] records) => Stream([.. Record(0x0502, new byte[24]), .. Name(0x0606, "T"), .. records.SelectMany(r => r)]);

    private static byte[] Cell(string name, byte[] content) => [.. Record(0x0502, new byte[24]), .. Name(0x0606, name), .. content, .. Record(0x0700)];

    // Units: 1e-3 user units and 1e-9 m.
    private static byte[] Stream(byte[] cells, byte[]? units = null) =>
    [
        .. Record(0x0002, 2, 88), .. Record(0x0102, new byte[24]), .. Name(0x0206, "LIB"),
        .. Record(0x0305, units ?? Convert.FromHexString("3E4189374BC6A7F03944B82FA09B5A54")), .. cells, .. Record(0x0400),
    ];

    private static byte[] Name(int type, string text) => Record(type, Encoding.ASCII.GetBytes(text.Length % 2 == 0 ? text : text + "\0"));

    private static byte[] Integers(params int[] values)
    {
        byte[] data = new byte[4 * values.Length];
        for (int i = 0; i < values.Length; i++)
        {
            BinaryPrimitives.WriteInt32BigEndian(data.AsSpan(4 * i), values[i]);
        }

        return Record(0x1003, data);
    }

    private static byte[] Record(int type, params byte[] data) =>
        [(byte)((data.Length + 4) >> 8), (byte)(data.Length + 4), (byte)(type >> 8), (byte)type, .. data];
}
