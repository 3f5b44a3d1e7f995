using System.Buffers.Binary;
using System.IO.Compression;
using System.IO.Hashing;

namespace PatternCompiler.Tests.FrontEnds.Image;

/// <summary>Makes small PNG files by the standard (W3C PNG, third edition) without any library: no filter, one data chunk.</summary>
internal static class PngFile
{
    /// <summary>A picture of 8-bit grey values, rows from the top.</summary>
    public static byte[] Grey(byte[][] rows) => Make(rows[0].Length, rows.Length, 8, 0, rows);

    /// <summary>A picture of red, green, blue and opacity, four bytes a pixel.</summary>
    public static byte[] Rgba(byte[][] rows) => Make(rows[0].Length / 4, rows.Length, 8, 6, rows);

    /// <summary>A picture of one bit a pixel, packed.</summary>
    public static byte[] Bits(int width, byte[][] rows) => Make(width, rows.Length, 1, 0, rows);

    /// <summary>A file that claims a size, with the rows given.</summary>
    public static byte[] Make(int width, int height, byte depth, byte colourType, byte[][] rows)
    {
        var file = new MemoryStream();
        file.Write([0x89, (byte)'P', (byte)'N', (byte)'G', 0x0D, 0x0A, 0x1A, 0x0A]);
        byte[] header = new byte[13];
        BinaryPrimitives.WriteInt32BigEndian(header, width);
        BinaryPrimitives.WriteInt32BigEndian(header.AsSpan(4), height);
        header[8] = depth;
        header[9] = colourType;
        Chunk(file, "IHDR"u8, header);
        var data = new MemoryStream();
        using (var zip = new ZLibStream(data, CompressionLevel.Optimal, leaveOpen: true))
        {
            foreach (byte[] row in rows)
            {
                zip.WriteByte(0);
                zip.Write(row);
            }
        }

        Chunk(file, "IDAT"u8, data.ToArray());
        Chunk(file, "IEND"u8, []);
        return file.ToArray();
    }

    private static void Chunk(MemoryStream file, ReadOnlySpan<byte> type, byte[] content)
    {
        byte[] number = new byte[4];
        BinaryPrimitives.WriteInt32BigEndian(number, content.Length);
        file.Write(number);
        byte[] body = [.. type, .. content];
        file.Write(body);
        BinaryPrimitives.WriteUInt32BigEndian(number, Crc32.HashToUInt32(body));
        file.Write(number);
    }
}
