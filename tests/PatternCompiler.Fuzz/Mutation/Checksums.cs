using System.Buffers.Binary;
using System.IO.Compression;
using System.IO.Hashing;
using System.Security.Cryptography;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Fuzz.Mutation;

/// <summary>Puts the checksums of binary forms right after a change, so that what lies behind them is reached.</summary>
internal static class Checksums
{
    private const int PngSignature = 8;

    /// <summary>The program's own documents: magic, then frames of length, content and checksum.</summary>
    public static byte[] Document(byte[] input)
    {
        byte[] output = [.. input];
        for (int start = CarrierMagic.Length; start + 4 <= output.Length;)
        {
            long length = BinaryPrimitives.ReadUInt32LittleEndian(output.AsSpan(start));
            long end = start + 4 + (length == 0 ? sizeof(long) : length);
            if (end + 4 > output.Length)
            {
                break;
            }

            BinaryPrimitives.WriteUInt32LittleEndian(output.AsSpan((int)end), Crc32C.Of(output.AsSpan(start, (int)end - start)));
            start = (int)end + 4;
        }

        return output;
    }

    /// <summary>The exposure stream: a header with a digest of the machine, then blocks, each with a checksum.</summary>
    public static byte[] Stream(byte[] input)
    {
        byte[] output = [.. input];
        if (output.Length < StreamFormat.ShortestHeader)
        {
            return output;
        }

        int header = BinaryPrimitives.ReadUInt16LittleEndian(output.AsSpan(StreamFormat.HeaderLengthOffset));
        int name = StreamFormat.HeaderNameOffset + output[StreamFormat.HeaderNameLengthOffset];
        if (header < StreamFormat.ShortestHeader || header > output.Length || name > header)
        {
            return output;
        }

        StreamHeader.WriteLength(output.AsSpan(StreamFormat.HeaderLengthOffset), header);
        byte[] machine = [.. output[StreamFormat.HeaderMachineOffset..StreamFormat.HeaderDigestOffset], .. output[StreamFormat.HeaderNameOffset..name]];
        SHA256.HashData(machine).AsSpan(0, StreamFormat.DigestBytes).CopyTo(output.AsSpan(StreamFormat.HeaderDigestOffset));
        Seal(output.AsSpan(0, header));
        for (int start = header; start + StreamFormat.BlockHeader <= output.Length;)
        {
            int payload = BinaryPrimitives.ReadUInt16LittleEndian(output.AsSpan(start + 2));
            int end = start + StreamFormat.BlockHeader + payload + StreamFormat.CrcBytes;
            if (end > output.Length)
            {
                break;
            }

            StreamHeader.WriteLength(output.AsSpan(start + 2), payload);
            Seal(output.AsSpan(start, end - start));
            start = end;
        }

        return output;
    }

    private static void Seal(Span<byte> covered) =>
        BinaryPrimitives.WriteUInt32LittleEndian(covered[^StreamFormat.CrcBytes..], Crc32C.Of(covered[..^StreamFormat.CrcBytes]));

    /// <summary>PNG: chunks of length, type, content and checksum.</summary>
    public static byte[] Png(byte[] input)
    {
        byte[] output = [.. input];
        for (int start = PngSignature; start + 12 <= output.Length;)
        {
            long end = start + 8 + (long)BinaryPrimitives.ReadUInt32BigEndian(output.AsSpan(start));
            if (end + 4 > output.Length)
            {
                break;
            }

            BinaryPrimitives.WriteUInt32BigEndian(output.AsSpan((int)end), Crc32.HashToUInt32(output.AsSpan(start + 4, (int)end - start - 4)));
            start = (int)end + 4;
        }

        return output;
    }

    /// <summary>A PNG picture: 8 bits a sample, or another depth with rows already packed.</summary>
    public static byte[] PngOf(int width, int height, byte depth, byte colour, byte[] rows, params byte[][] chunks)
    {
        using var packed = new MemoryStream();
        using (var zlib = new ZLibStream(packed, CompressionLevel.Fastest, leaveOpen: true))
        {
            zlib.Write(rows);
        }

        byte[] head = new byte[13];
        BinaryPrimitives.WriteInt32BigEndian(head, width);
        BinaryPrimitives.WriteInt32BigEndian(head.AsSpan(4), height);
        (head[8], head[9]) = (depth, colour);
        return Png([137, 80, 78, 71, 13, 10, 26, 10, .. Chunk("IHDR"u8, head), .. chunks.SelectMany(chunk => chunk), .. Chunk("IDAT"u8, packed.ToArray()), .. Chunk("IEND"u8, [])]);
    }

    /// <summary>One chunk without its checksum.</summary>
    public static byte[] Chunk(ReadOnlySpan<byte> type, byte[] content)
    {
        byte[] length = new byte[4];
        BinaryPrimitives.WriteInt32BigEndian(length, content.Length);
        return [.. length, .. type, .. content, 0, 0, 0, 0];
    }
}
