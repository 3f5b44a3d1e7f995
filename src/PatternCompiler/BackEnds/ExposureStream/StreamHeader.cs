using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;
using System.Text.Unicode;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model;
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

        byte[] bytes = new byte[StreamFormat.ShortestHeader + name.Length + StreamFormat.OriginBytes];
        Span<byte> span = bytes;
        StreamFormat.Magic.CopyTo(span);
        WriteLength(span[StreamFormat.HeaderLengthOffset..], bytes.Length);
        span[StreamFormat.HeaderWordBytesOffset] = (byte)options.WordBytes;
        span[StreamFormat.HeaderProfileOffset] = (byte)options.Profile;
        if (options.WaitsForTrigger)
        {
            span[StreamFormat.HeaderMinorOffset] = StreamFormat.TriggerMinorVersion;
            span[StreamFormat.HeaderProfileOffset] += StreamFormat.TriggerProfile;
        }

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
        Span<byte> origin = span[(StreamFormat.HeaderNameOffset + name.Length)..];
        origin[0] = (byte)header.BlankLevel;
        header.MadeFor.Settings.Write(origin[StreamFormat.SettingsDigestOffset..]);
        header.MadeFor.Exposure.Write(origin[StreamFormat.ExposureDigestOffset..]);
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
        int minor = bytes[StreamFormat.HeaderMinorOffset];
        int wanted = StreamFormat.ShortestHeader + nameLength + (minor == 0 ? 0 : StreamFormat.OriginBytes);
        if (wanted > bytes.Length)
        {
            return $"the header has {bytes.Length} bytes, with version 1.{minor} and a machine's name of {nameLength} it needs {wanted}";
        }

        if (FaultOfChoices(bytes) is string unknown)
        {
            return unknown;
        }

        if (!Digest(bytes).SequenceEqual(bytes.Slice(StreamFormat.HeaderDigestOffset, StreamFormat.DigestBytes)))
        {
            return "the machine's digest does not belong to its description";
        }

        ReadOnlySpan<byte> name = bytes.Slice(StreamFormat.HeaderNameOffset, nameLength);
        if (!Utf8.IsValid(name))
        {
            return "the machine's name is not UTF-8";
        }

        header = new RecordsHeader(
            Encoding.UTF8.GetString(name),
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
        if (minor > 0)
        {
            ReadOnlySpan<byte> origin = bytes[(StreamFormat.HeaderNameOffset + nameLength)..];
            if (origin[0] > (byte)BlankLevel.NoBlanker)
            {
                return $"the level of the blank line is {origin[0]}, known are 0 to {(byte)BlankLevel.NoBlanker}";
            }

            header = header with
            {
                BlankLevel = (BlankLevel)origin[0],
                MadeFor = new MadeFor(
                    SettingsDigest.Read(origin[StreamFormat.SettingsDigestOffset..]), SettingsDigest.Read(origin[StreamFormat.ExposureDigestOffset..])),
            };
        }

        byte profile = bytes[StreamFormat.HeaderProfileOffset];
        bool waits = profile >= StreamFormat.TriggerProfile;
        header = header with { WaitsForTrigger = waits };
        options = new ExposureStreamOptions(
            (StreamProfile)(profile % StreamFormat.TriggerProfile), bytes[StreamFormat.HeaderWordBytesOffset]) { WaitsForTrigger = waits };
        return RecordsHeaderRules.FaultOf(header) ?? FaultOf(header, options);
    }

    /// <summary>What is wrong with the word size for a header's converter, or null.</summary>
    public static string? FaultOf(RecordsHeader header, ExposureStreamOptions options) =>
        options.WordBytes is >= 2 and <= 4 && options.WordBytes * 8 >= header.Dac.Bits
            ? null
            : $"words of {options.WordBytes} bytes do not carry codes of {header.Dac.Bits} bits";

    private static string? FaultOfChoices(ReadOnlySpan<byte> bytes)
    {
        // Before version 1.2 there were no triggers, so no such profiles.
        int triggers = bytes[StreamFormat.HeaderMinorOffset] >= StreamFormat.TriggerMinorVersion ? StreamFormat.TriggerProfile : 0;
        foreach ((int offset, byte last, string what) in ((int, byte, string)[])
            [
                (StreamFormat.HeaderProfileOffset, (byte)((int)StreamProfile.Lines + triggers), "the profile"),
                (CodingOffset, (byte)DacCoding.TwosComplement, "the coding"),
                (FullScaleOffset, (byte)DacFullScale.LastCode, "the upper end of the range"),
                (AxesOffset, 1, "the order of the axes"),
            ])
        {
            if (bytes[offset] > last)
            {
                return $"{what} is {bytes[offset]}, known are 0 to {last}";
            }
        }

        int payload = BinaryPrimitives.ReadUInt16LittleEndian(bytes[StreamFormat.HeaderPayloadOffset..]);
        return payload is 0 or > StreamFormat.LargestPayload
            ? $"the largest payload of a block is {payload} bytes, allowed are 1 to {StreamFormat.LargestPayload}"
            : null;
    }

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
