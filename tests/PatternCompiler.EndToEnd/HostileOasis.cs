using System.IO.Compression;
using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>OASIS files that are damaged, or made to do harm. Records by SEMI P39 (from memory).</summary>
internal static class HostileOasis
{
    private const int CellByName = 14;
    private const int Placement = 17;

    public static IEnumerable<HostileDrawing> All =>
    [
        new("truncated.oas", ": error PC0552: the file ends before its END record", () => File(Cell("T", Square))[..^250]),
        new("record-99.oas", ": error PC0553: a record of type 99, which has no place here", () => File(Cell("T", [99]))),
        new("integer-without-end.oas", ": error PC0553: an integer of more than 63 bits", () => File([.. Cell("T", Square), .. Enumerable.Repeat((byte)0xff, 1_000_000)])),
        new("polygon-of-10^9-corners.oas", ": error PC0552: the file ends before its END record", () => File(Cell("T", [21, 0b0010_0011, 1, 0, 4, .. Unsigned(1_000_000_000)]))),
        new("cell-in-itself.oas", ": error PC0507: cell A contains itself; delete this reference", () => File([.. Cell("T", Place("A")), .. Cell("A", [.. Square, .. Place("A")])])),
        new("cells-10000-deep.oas", ": error PC0508: cells are nested more than 256 deep", () => Nest(10_000, Place)),
        new("arrays-of-arrays.oas", "error PC1024: written out flat, this drawing has 4e+24 points; 1000", () => Nest(2, Array), "fracture"),
        new("repeated-shape-10^12.oas", "error PC1024: written out flat, this drawing has 4000000000000 points; 1000", () => File(Cell("T", [20, 0b1100_0111, 1, 0, 1, .. Million])), "fracture"),
        new("irregular-copies.oas", ": error PC0557: more than 4000000 copies at irregular distances", () => File(Cell("T", [20, 0b1100_0111, 1, 0, 1, 4, .. Unsigned(999_998), .. new byte[999_999], .. Enumerable.Repeat<byte[]>([20, 0b0000_0100, 0], 20).SelectMany(b => b)]))),
        new("one-polygon-again-and-again.oas", ": error PC0557: more than 16000000 corners", () => File(Cell("T", [.. Staircase(50_000), .. Enumerable.Repeat<byte[]>([21, 0], 50_000).SelectMany(b => b)]))),
        new("compressed-list.oas", ": error PC0557: a list of more than 4000000 entries", () => File(Cell("T", Block([20, 0b1100_0111, 1, 0, 1, 10, .. Unsigned(30_000_000), .. new byte[30_000_000]], null)))),
        new("block-of-10-gigabytes.oas", ": error PC0553: compressed blocks that expand to 10000000000 bytes and more", () => File(Cell("T", Block(new byte[1_000_000], 10_000_000_000)))),
        new("blocks-in-blocks.oas", ": error PC0553: a compressed block within a compressed block", () => File(Cell("T", Block(Block(Square, Square.Length), null)))),
    ];

    /// <summary>A square, and a rectangle without height.</summary>
    public static byte[] Flat => File(Cell("T", [.. Square, 20, 0b0111_1011, 1, 0, 1, 0, 0, 0]));

    // A square of one unit on layer 1, data type 0, and its repetition in a million columns and rows, ten units apart.
    private static byte[] Square => [20, 0b1101_1011, 1, 0, 1, 0, 0];

    private static byte[] Million => [1, .. Unsigned(999_998), .. Unsigned(999_998), 10, 10];

    // A polygon whose corners go right and up by turns.
    private static byte[] Staircase(int corners) =>
        [21, 0b0010_0011, 1, 0, 2, .. Unsigned(corners), .. Enumerable.Range(0, corners).Select(i => (byte)((1 << 2) | (i & 1)))];

    private static byte[] Place(string name) => [Placement, 0b1011_0000, .. Text(name), 0, 0];

    private static byte[] Array(string name) => [Placement, 0b1011_1000, .. Text(name), 0, 0, .. Million];

    private static byte[] Nest(int count, Func<string, byte[]> content)
    {
        var cells = new List<byte>(Cell("C0", Square));
        for (int i = 1; i <= count; i++)
        {
            cells.AddRange(Cell($"C{i}", content($"C{i - 1}")));
        }

        return File([.. cells]);
    }

    // START: version 1.0, 1000 units to the micrometre; END: padded to 256 bytes, without a signature.
    private static byte[] File(byte[] records) =>
    [
        .. "%SEMI-OASIS\r\n"u8, 1, .. Text("1.0"), 0, .. Unsigned(1000), 0, .. new byte[12], .. records,
        2, .. Unsigned(252), .. new byte[252], 0,
    ];

    private static byte[] Cell(string name, byte[] content) => [CellByName, .. Text(name), .. content];

    private static byte[] Block(byte[] content, long? stated)
    {
        using var compressed = new MemoryStream();
        using (var deflate = new DeflateStream(compressed, CompressionLevel.Optimal, leaveOpen: true))
        {
            deflate.Write(content);
        }

        return [34, 0, .. Unsigned(stated ?? content.Length), .. Unsigned(compressed.Length), .. compressed.ToArray()];
    }

    private static byte[] Text(string text) => [(byte)text.Length, .. Encoding.ASCII.GetBytes(text)];

    private static byte[] Unsigned(long value)
    {
        var bytes = new List<byte>();
        for (; value > 0x7f; value >>= 7)
        {
            bytes.Add((byte)(0x80 | (value & 0x7f)));
        }

        return [.. bytes, (byte)value];
    }
}
