using System.IO.Compression;
using System.Text;

namespace PatternCompiler.Fuzz.Targets;

/// <summary>Small OASIS files, put together byte by byte after the record layouts of SEMI P39 (from memory).</summary>
internal static class OasisSeeds
{
    // A square of one unit on layer 1, data type 0.
    private static readonly byte[] Square = [20, 0b1101_1011, 1, 0, 1, 0, 0];

    /// <summary>The files.</summary>
    public static IEnumerable<byte[]> All =>
    [
        File([.. Cell("T"), .. Square, 20, 0b0111_1011, 1, 0, 9, 7, 40, 40]),
        File([.. Cell("T"), .. Square, 20, 0b0000_0100, 1, 3, 2, 8, 8, 20, 4, 4, 1, 3, 3]),
        File([.. Cell("A"), .. Square, .. Cell("T"), 17, 0b1011_0000, 1, (byte)'A', 20, 20, 17, 0b1011_1000, 1, (byte)'A', 0, 0, 1, 2, 3, 10, 12]),
        File([.. Cell("T"), 21, 0b0011_1011, 1, 0, 0, 4, 20, 20, 20, 20, 10, 10, 21, 0b0011_1011, 1, 0, 2, 3, 41, 43, 45, 6, 8, 27, 0b0011_1011, 1, 0, 20, 8, 8]),
        File([.. Cell("T"), 22, 0b1111_1011, 1, 0, 5, 10, 0, 2, 20, 30, 4, 4, 23, 0b0111_1011, 1, 0, 30, 40, 4, 10, 6, 6, 26, 0b1111_1011, 1, 0, 5, 100, 20, 3, 3]),
        File([3, 1, (byte)'A', 11, 1, (byte)'L', 0, 0, 13, 0, .. Square, .. Block([.. Square, 20, 0, 20, 0])]),
    ];

    private static byte[] File(byte[] records) =>
        [.. "%SEMI-OASIS\r\n"u8, 1, 3, .. "1.0"u8, 0, 0xE8, 7, 0, .. new byte[12], .. records, 2, 0xFC, 1, .. new byte[252], 0];

    private static byte[] Cell(string name) => [14, (byte)name.Length, .. Encoding.ASCII.GetBytes(name)];

    private static byte[] Block(byte[] content)
    {
        using var compressed = new MemoryStream();
        using (var deflate = new DeflateStream(compressed, CompressionLevel.Optimal, leaveOpen: true))
        {
            deflate.Write(content);
        }

        return [34, 0, (byte)content.Length, (byte)compressed.Length, .. compressed.ToArray()];
    }
}
