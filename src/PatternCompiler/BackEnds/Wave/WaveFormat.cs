using System.Buffers.Binary;
using PatternCompiler.Instrument;

namespace PatternCompiler.BackEnds.Wave;

/// <summary>
/// The sound file that carries an exposure: RIFF WAVE with an extensible format chunk (Multimedia Programming Interface
/// and Data Specifications 1.0, 1991; extensible form for more than two channels), one frame per clock tick, three
/// channels of signed samples: x, y and blank. Codes are shifted up to the full width of a sample, so that the whole
/// range of the converter is the whole range of the player; blank is the largest sample where the blank line is high, the
/// smallest where it is low.
/// </summary>
internal static class WaveFormat
{
    public const int Channels = 3;
    public const int HeaderBytes = 68;
    public const int RiffSizeOffset = 4;
    public const int FormatSizeOffset = 16;
    public const int RateOffset = 24;
    public const int DataSizeOffset = 64;
    public const int FormatBytes = 40;

    /// <summary>Size where it is not known because the target cannot go back: the custom of programs that write to pipes.</summary>
    public const uint UnknownSize = uint.MaxValue;

    private const ushort Extensible = 0xFFFE;

    /// <summary>Bytes of a sample.</summary>
    public static int SampleBytes(Dac dac) => dac.Bits <= 16 ? 2 : 3;

    /// <summary>The header up to the samples.</summary>
    public static byte[] Header(Dac dac, uint rate, long dataBytes)
    {
        int sampleBytes = SampleBytes(dac);
        byte[] header = new byte[HeaderBytes];
        Span<byte> span = header;
        "RIFF"u8.CopyTo(span);
        WriteSizes(span, dataBytes);
        "WAVEfmt "u8.CopyTo(span[8..]);
        BinaryPrimitives.WriteUInt32LittleEndian(span[FormatSizeOffset..], FormatBytes);
        BinaryPrimitives.WriteUInt16LittleEndian(span[20..], Extensible);
        BinaryPrimitives.WriteUInt16LittleEndian(span[22..], Channels);
        BinaryPrimitives.WriteUInt32LittleEndian(span[RateOffset..], rate);
        BinaryPrimitives.WriteUInt32LittleEndian(span[28..], unchecked((uint)(rate * (long)(Channels * sampleBytes))));
        BinaryPrimitives.WriteUInt16LittleEndian(span[32..], (ushort)(Channels * sampleBytes));
        BinaryPrimitives.WriteUInt16LittleEndian(span[34..], (ushort)(8 * sampleBytes));
        BinaryPrimitives.WriteUInt16LittleEndian(span[36..], 22); // bytes of the extension
        BinaryPrimitives.WriteUInt16LittleEndian(span[38..], (ushort)(8 * sampleBytes));
        BinaryPrimitives.WriteUInt32LittleEndian(span[40..], 0); // channels stand at no place in a room
        ReadOnlySpan<byte> pcm = [1, 0, 0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71];
        pcm.CopyTo(span[44..]);
        "data"u8.CopyTo(span[60..]);
        return header;
    }

    /// <summary>Puts the sizes into a header; a negative one is unknown.</summary>
    public static void WriteSizes(Span<byte> header, long dataBytes)
    {
        long padding = dataBytes % 2;
        BinaryPrimitives.WriteUInt32LittleEndian(
            header[RiffSizeOffset..], dataBytes < 0 ? UnknownSize : (uint)(HeaderBytes - 8 + dataBytes + padding));
        BinaryPrimitives.WriteUInt32LittleEndian(header[DataSizeOffset..], dataBytes < 0 ? UnknownSize : (uint)dataBytes);
    }
}
