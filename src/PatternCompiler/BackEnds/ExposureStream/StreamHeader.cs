using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.ExposureStream;

/// <summary>The header of a stream as bytes and back.</summary>
internal static class StreamHeader
{
    private const int BitsOffset = StreamFormat.HeaderMachineOffset;
    private const int CodingOffset = 17;
    private const int FullScaleOffset = 18;
    private const int AxesOffset = 19;
    private const int ClockOffset = 20;
    private const int LowestOffset = 28;
    private const int HighestOffset = 36;
    private const int StepXOffset = 44;
    private const int StepYOffset = 52;
    private const int ShortestDwellOffset = 60;
    private const int LongestDwellOffset = 68;

    /// <summary>The header's bytes.</summary>
    public static byte[] Encode(RecordsHeader header, ExposureStreamOptions options)
    {
        byte[] name = Encoding.UTF8.GetBytes(header.MachineName);
        if (name.Length > StreamFormat.LongestName)
        {
            throw new CompileException(
                BackEndCodes.NotRepresentable,
                $"the machine's name takes {name.Length} bytes, a stream holds {StreamFormat.LongestName}",
                fix: "shorten the name in the machine file");
        }

        byte[] bytes = new byte[StreamFormat.ShortestHeader + name.Length];
        Span<byte> span = bytes;
        StreamFormat.Magic.CopyTo(span);
        WriteLength(span[StreamFormat.HeaderLengthOffset..], bytes.Length);
        span[StreamFormat.HeaderWordBytesOffset] = (byte)options.WordBytes;
        span[StreamFormat.HeaderProfileOffset] = (byte)options.Profile;
        BinaryPrimitives.WriteUInt16LittleEndian(span[StreamFormat.HeaderPayloadOffset..], StreamFormat.LargestPayload);
        span[BitsOffset] = (byte)header.Dac.Bits;
        span[CodingOffset] = (byte)header.Dac.Coding;
        span[FullScaleOffset] = (byte)header.Dac.FullScale;
        span[AxesOffset] = header.AxesAreSwapped ? (byte)1 : (byte)0;
        BinaryPrimitives.WriteDoubleLittleEndian(span[ClockOffset..], header.ClockHertz);
        BinaryPrimitives.WriteDoubleLittleEndian(span[LowestOffset..], header.Dac.MinimumVolts);
        BinaryPrimitives.WriteDoubleLittleEndian(span[HighestOffset..], header.Dac.MaximumVolts);
        BinaryPrimitives.WriteDoubleLittleEndian(span[StepXOffset..], header.NanometresPerCodeX);
        BinaryPrimitives.WriteDoubleLittleEndian(span[StepYOffset..], header.NanometresPerCodeY);
        BinaryPrimitives.WriteInt64LittleEndian(span[ShortestDwellOffset..], header.MinimumDwellTicks);
        BinaryPrimitives.WriteInt64LittleEndian(span[LongestDwellOffset..], header.MaximumDwellTicks);
        span[StreamFormat.HeaderNameLengthOffset] = (byte)name.Length;
        name.CopyTo(span[StreamFormat.HeaderNameOffset..]);
        Digest(span).CopyTo(span[StreamFormat.HeaderDigestOffset..]);
        BinaryPrimitives.WriteUInt32LittleEndian(span[^StreamFormat.CrcBytes..], Crc32C.Of(span[..^StreamFormat.CrcBytes]));
        return bytes;
    }

    /// <summary>
    /// What is wrong with a header whose magic, version and length have been checked, or null with what it says.
    /// </summary>
    public static string? TryDecode(ReadOnlySpan<byte> bytes, out RecordsHeader header, out ExposureStreamOptions options)
    {
        header = null!;
        options = null!;
        if (Crc32C.Of(bytes[..^StreamFormat.CrcBytes]) != BinaryPrimitives.ReadUInt32LittleEndian(bytes[^StreamFormat.CrcBytes..]))
        {
            return "the header's checksum does not match";
        }

        int nameLength = bytes[StreamFormat.HeaderNameLengthOffset];
        if (StreamFormat.ShortestHeader + nameLength > bytes.Length)
        {
            return "the machine's name does not fit the header";
        }

        if (bytes[CodingOffset] > (byte)DacCoding.TwosComplement || bytes[FullScaleOffset] > (byte)DacFullScale.LastCode ||
            bytes[AxesOffset] > 1 || bytes[StreamFormat.HeaderProfileOffset] > (byte)StreamProfile.Lines)
        {
            return "the header has an unknown coding, full scale, order of axes or profile";
        }

        if (!Digest(bytes).SequenceEqual(bytes.Slice(StreamFormat.HeaderDigestOffset, StreamFormat.DigestBytes)))
        {
            return "the machine's digest does not belong to its description";
        }

        header = new RecordsHeader(
            Encoding.UTF8.GetString(bytes.Slice(StreamFormat.HeaderNameOffset, nameLength)),
            new Dac(
                bytes[BitsOffset],
                BinaryPrimitives.ReadDoubleLittleEndian(bytes[LowestOffset..]),
                BinaryPrimitives.ReadDoubleLittleEndian(bytes[HighestOffset..]),
                (DacCoding)bytes[CodingOffset],
                (DacFullScale)bytes[FullScaleOffset]),
            BinaryPrimitives.ReadDoubleLittleEndian(bytes[ClockOffset..]),
            BinaryPrimitives.ReadInt64LittleEndian(bytes[ShortestDwellOffset..]),
            BinaryPrimitives.ReadInt64LittleEndian(bytes[LongestDwellOffset..]),
            BinaryPrimitives.ReadDoubleLittleEndian(bytes[StepXOffset..]),
            BinaryPrimitives.ReadDoubleLittleEndian(bytes[StepYOffset..]),
            bytes[AxesOffset] == 1);
        options = new ExposureStreamOptions(
            (StreamProfile)bytes[StreamFormat.HeaderProfileOffset], bytes[StreamFormat.HeaderWordBytesOffset]);
        return RecordsHeaderRules.FaultOf(header) ?? FaultOf(header, options);
    }

    /// <summary>What is wrong with the word size for a header's converter, or null.</summary>
    public static string? FaultOf(RecordsHeader header, ExposureStreamOptions options) =>
        options.WordBytes is >= 2 and <= 4 && options.WordBytes * 8 >= header.Dac.Bits
            ? null
            : $"words of {options.WordBytes} bytes do not carry codes of {header.Dac.Bits} bits";

    /// <summary>Writes a length and its complement.</summary>
    public static void WriteLength(Span<byte> target, int length)
    {
        BinaryPrimitives.WriteUInt16LittleEndian(target, (ushort)length);
        BinaryPrimitives.WriteUInt16LittleEndian(target[sizeof(ushort)..], (ushort)~length);
    }

    /// <summary>Reads a length and its complement; false if they do not belong together.</summary>
    public static bool TryReadLength(ReadOnlySpan<byte> source, out int length)
    {
        length = BinaryPrimitives.ReadUInt16LittleEndian(source);
        return BinaryPrimitives.ReadUInt16LittleEndian(source[sizeof(ushort)..]) == (ushort)~length;
    }

    private static ReadOnlySpan<byte> Digest(ReadOnlySpan<byte> header)
    {
        byte[] covered =
        [
            .. header[StreamFormat.HeaderMachineOffset..StreamFormat.HeaderDigestOffset],
            .. header.Slice(StreamFormat.HeaderNameOffset, header[StreamFormat.HeaderNameLengthOffset]),
        ];
        return SHA256.HashData(covered).AsSpan(0, StreamFormat.DigestBytes);
    }
}
