using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>DXF drawings that are damaged, or made to do harm.</summary>
internal static class HostileDxf
{
    private const string Circle = "0 CIRCLE 8 a 10 0 20 0 40 1";
    private const string ThousandByThousand = "70 1000 71 1000 44 0.001 45 0.001";

    public static IEnumerable<HostileDrawing> All =>
    [
        new("truncated.dxf", ":16: error PC0302: the file ends within ", () => Drawing(Circle)[..^40]),
        new("odd-group-code.dxf", ":17: error PC0303: expected a group code (a whole number from -5 to 1071), found \"x8\"", () => Drawing("0 CIRCLE x8 a")),
        new("group-code-99999.dxf", ":17: error PC0303: expected a group code (a whole number from -5 to 1071), found \"99999\"", () => Drawing("0 CIRCLE 99999 a")),
        new("not-a-number.dxf", ":20: error PC0304: group code 10 takes a number, found \"NaN\"", () => Drawing("0 CIRCLE 8 a 10 NaN 20 0 40 1")),
        new("1e300.dxf", ":16 (CIRCLE on layer a): error PC0306: reaches beyond ±107.4 mm at (1E+300, 0) um", () => Drawing("0 CIRCLE 8 a 10 1e300 20 0 40 1")),
        new("block-in-itself.dxf", ":30 (INSERT on layer a): error PC0308: block B0 contains itself; delete this insert", () => Blocks(0, "", Circle + " 0 INSERT 8 a 2 B0")),
        new("blocks-10000-deep.dxf", " (INSERT on layer a): error PC0309: blocks are nested more than 256 deep; explode some of them", () => Blocks(10_000, "")),
        new("array-of-10^12.dxf", "error PC1024: written out flat, this drawing has 71000000000000 points; 1000", () => Blocks(1, "70 1000000 71 1000000 44 0.001 45 0.001"), "fracture"),
        new("array-off-the-grid.dxf", " (INSERT on layer a): error PC0305: an array of 1000000 × 1000000 has a spacing that is not a whole number of grid steps, and more than 1000000 placements would have to be written out", () => Blocks(1, "70 1000000 71 1000000 44 0.00017 45 0.00013")),
        new("arrays-off-the-grid.dxf", " (INSERT on layer a): error PC0305: an array of 900 × 900 has a spacing that is not a whole number of grid steps, and more than 1000000 placements would have to be written out", () => Blocks(200, "70 900 71 900 44 0.00017 45 0.00013")),
        new("array-of-10^14-rows.dxf", " (INSERT on layer a): error PC0305: block B0 is placed in 1 columns and 99999999999999 rows, more than 2147483647", () => Blocks(1, "70 -5 71 99999999999999 44 0.001 45 0.001")),
        new("arrays-of-arrays.dxf", "error PC1024: written out flat, this drawing has 7.1e+25 points; 1000", () => Blocks(4, ThousandByThousand), "fracture"),
        new("ten-blocks-in-each.dxf", "error PC1024: written out flat, this drawing has 7.1e+21 points; 1000", () => Blocks(20, "", copies: 10), "fracture"),
        new("jpeg.dxf", ": error PC0702: this is a JPEG picture, not a drawing", () => [0xff, 0xd8, 0xff, 0xe0, .. new byte[5000]]),
        new("png.dxf", ": error PC0601: this is a PNG picture, and the size of its pixels is not stated", () => [0x89, (byte)'P', (byte)'N', (byte)'G', 13, 10, 26, 10, .. new byte[5000]]),
        new("utf-16.dxf", ": error PC0702: this is UTF-16 text (save it as UTF-8), not a drawing", () => [.. Encoding.Unicode.GetPreamble(), .. Encoding.Unicode.GetBytes(Encoding.ASCII.GetString(Drawing(Circle)))]),
        new("utf-16-big-endian.dxf", ": error PC0702: this is UTF-16 text (save it as UTF-8), not a drawing", () => [.. Encoding.BigEndianUnicode.GetPreamble(), .. Encoding.BigEndianUnicode.GetBytes(Encoding.ASCII.GetString(Drawing(Circle)))]),
        new("line-of-50-megabytes.dxf", ":18: error PC0301: a line longer than 65536 bytes follows; this is not a DXF text file", () => Drawing("0 TEXT 1 " + new string('x', 50_000_000))),
        new("spline-of-degree-10^9.dxf", ":16 (SPLINE on layer a): error PC0305: the degree is 1000000000, it must be between 1 and 25", () => Drawing("0 SPLINE 8 a 70 8 71 1000000000 72 2000000000 73 2000000000 40 0 40 1 10 0 20 0 10 1 20 1")),
    ];

    private static byte[] Drawing(string entities, string blocks = "") => Encoding.ASCII.GetBytes(
        ("0 SECTION 2 HEADER 9 $INSUNITS 70 13 0 ENDSEC " + (blocks.Length > 0 ? $"0 SECTION 2 BLOCKS {blocks} 0 ENDSEC " : "")
        + $"0 SECTION 2 ENTITIES {entities} 0 ENDSEC 0 EOF ").Replace(' ', '\n'));

    // A block with something in it, blocks that each place the one before, and the outermost placed.
    private static byte[] Blocks(int count, string array, string content = Circle, int copies = 1)
    {
        var blocks = new StringBuilder($"0 BLOCK 2 B0 {content} 0 ENDBLK");
        for (int i = 1; i <= count; i++)
        {
            string insert = $" 0 INSERT 8 a 2 B{i - 1} {array}".TrimEnd();
            blocks.Append($" 0 BLOCK 2 B{i}").Append(string.Concat(Enumerable.Range(0, copies).Select(copy => copy == 0 ? insert : $"{insert} 10 {copy}"))).Append(" 0 ENDBLK");
        }

        return Drawing($"0 INSERT 8 a 2 B{count}", blocks.ToString());
    }
}
