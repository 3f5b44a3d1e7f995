using System.Buffers.Binary;
using System.Globalization;
using System.IO.Compression;
using System.Runtime.InteropServices;
using System.Text;

namespace PatternCompiler.VirtualLab.Microscope;

/// <summary>
/// Writes micrographs: PNG with 8 bits of grey (ISO/IEC 15948) and the stated pixel in its pHYs chunk, and NumPy's array format,
/// version 1.0, with 16 bits.
/// </summary>
public static class PictureFiles
{
    private static readonly uint[] CrcTable = [.. Enumerable.Range(0, 256).Select(i => CrcOfByte((uint)i))];

    public static byte[] Png(Micrograph picture)
    {
        byte[] grey = picture.ToGrey8();
        using var packed = new MemoryStream();
        using (var zlib = new ZLibStream(packed, CompressionLevel.Fastest, leaveOpen: true))
        {
            for (int row = 0; row < picture.Height; row++)
            {
                zlib.WriteByte(0);
                zlib.Write(grey, row * picture.Width, picture.Width);
            }
        }

        using var png = new MemoryStream();
        png.Write([0x89, (byte)'P', (byte)'N', (byte)'G', 0x0D, 0x0A, 0x1A, 0x0A]);
        var header = new byte[13];
        BinaryPrimitives.WriteInt32BigEndian(header, picture.Width);
        BinaryPrimitives.WriteInt32BigEndian(header.AsSpan(4), picture.Height);
        header[8] = 8;
        Chunk(png, "IHDR", header);

        // Pixels a metre.
        var physical = new byte[9];
        uint perMetre = (uint)Math.Min(uint.MaxValue, Math.Round(1e9 / picture.NanometresPerPixel));
        BinaryPrimitives.WriteUInt32BigEndian(physical, perMetre);
        BinaryPrimitives.WriteUInt32BigEndian(physical.AsSpan(4), perMetre);
        physical[8] = 1;
        Chunk(png, "pHYs", physical);
        Chunk(png, "IDAT", packed.ToArray());
        Chunk(png, "IEND", []);
        return png.ToArray();
    }

    public static byte[] Npy(Micrograph picture)
    {
        string text = string.Create(CultureInfo.InvariantCulture, $"{{'descr': '<u2', 'fortran_order': False, 'shape': ({picture.Height}, {picture.Width}), }}");
        string header = text.PadRight(((10 + text.Length + 64) / 64 * 64) - 11) + "\n";
        ushort[] grey = picture.ToGrey16();
        return
        [
            0x93, .. "NUMPY"u8, 1, 0, (byte)header.Length, (byte)(header.Length >> 8), .. Encoding.ASCII.GetBytes(header),
            .. BitConverter.IsLittleEndian ? MemoryMarshal.AsBytes<ushort>(grey).ToArray() : throw new PlatformNotSupportedException(),
        ];
    }

    private static void Chunk(Stream png, string name, byte[] data)
    {
        Span<byte> number = stackalloc byte[4];
        BinaryPrimitives.WriteInt32BigEndian(number, data.Length);
        png.Write(number);
        byte[] body = [.. Encoding.ASCII.GetBytes(name), .. data];
        png.Write(body);
        uint crc = uint.MaxValue;
        foreach (byte b in body)
        {
            crc = (crc >> 8) ^ CrcTable[(byte)(crc ^ b)];
        }

        BinaryPrimitives.WriteUInt32BigEndian(number, ~crc);
        png.Write(number);
    }

    private static uint CrcOfByte(uint value)
    {
        for (int bit = 0; bit < 8; bit++)
        {
            value = (value >> 1) ^ ((value & 1) == 0 ? 0 : 0xEDB88320);
        }

        return value;
    }
}
