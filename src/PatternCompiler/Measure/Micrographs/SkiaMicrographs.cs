using System.Buffers.Binary;
using PatternCompiler.Diagnostics;
using SkiaSharp;

namespace PatternCompiler.Measure.Micrographs;

/// <summary>PNG and JPEG pictures. Colours become grey by their mean, for a micrograph has none.</summary>
internal static class SkiaMicrographs
{
    private static ReadOnlySpan<byte> PngSignature => [0x89, (byte)'P', (byte)'N', (byte)'G', 13, 10, 26, 10];

    /// <summary>True for the first bytes of such a picture.</summary>
    public static bool Recognises(ReadOnlySpan<byte> file) => file.StartsWith(PngSignature) || IsJpeg(file);

    /// <summary>Decodes it.</summary>
    public static Micrograph Read(byte[] file, SourcePlace place)
    {
        bool isJpeg = IsJpeg(file);
        string kind = isJpeg ? "JPEG" : "PNG";
        using SKData data = SKData.CreateCopy(file);
        using SKCodec codec = SKCodec.Create(data) ?? throw Damaged(kind, place);
        (int width, int height) = (codec.Info.Width, codec.Info.Height);
        MicrographReader.RequireSize(width, height, place);
        if (!isJpeg && IsDeepPng(file))
        {
            throw MicrographReader.Unreadable("this PNG picture has 16 bits, of which only the upper 8 would be read", place, "save the micrograph as TIFF of 16 bits");
        }

        float[]? values = Decode(codec);
        return values is not null && (isJpeg || HasLastChunk(file)) ? new Micrograph(width, height, values, 8, isJpeg ? null : PixelOf(file)) : throw Damaged(kind, place);
    }

    private static bool IsJpeg(ReadOnlySpan<byte> file) => file.Length > 2 && file[0] == 0xFF && file[1] == 0xD8 && file[2] == 0xFF;

    // Byte 24 of a PNG file is the depth of IHDR (W3C PNG, third edition, 11.2.1).
    private static bool IsDeepPng(ReadOnlySpan<byte> file) => file.Length > 24 && file[24] == 16;

    private static float[]? Decode(SKCodec codec)
    {
        // Without a colour space the values come as they are stored.
        var info = new SKImageInfo(codec.Info.Width, codec.Info.Height, SKColorType.Rgba8888, SKAlphaType.Unpremul, null);
        var pixels = new byte[info.BytesSize];
        unsafe
        {
            fixed (byte* target = pixels)
            {
                if (codec.GetPixels(info, (nint)target) != SKCodecResult.Success)
                {
                    return null;
                }
            }
        }

        var values = new float[info.Width * info.Height];
        for (int i = 0; i < values.Length; i++)
        {
            values[i] = (pixels[4 * i] + pixels[4 * i + 1] + pixels[4 * i + 2]) / 3f;
        }

        return values;
    }

    /// <summary>The size of a pixel by the chunk pHYs, where it is in metres.</summary>
    private static double? PixelOf(ReadOnlySpan<byte> file)
    {
        int at = Find(file, "pHYs"u8);
        return at >= 0 && at + 17 <= file.Length && file[at + 16] == 1 && BinaryPrimitives.ReadUInt32BigEndian(file[(at + 8)..]) is var dots and > 0
            ? 1e9 / dots
            : null;
    }

    private static bool HasLastChunk(ReadOnlySpan<byte> file) => Find(file, "IEND"u8) >= 0;

    /// <summary>Where a chunk of this type begins, -1 if there is none.</summary>
    private static int Find(ReadOnlySpan<byte> file, ReadOnlySpan<byte> type)
    {
        const int BytesAroundContent = 12;
        for (long position = PngSignature.Length; position + BytesAroundContent <= file.Length;)
        {
            ReadOnlySpan<byte> chunk = file[(int)position..];
            if (chunk[4..8].SequenceEqual(type))
            {
                return (int)position;
            }

            position += BytesAroundContent + (long)BinaryPrimitives.ReadUInt32BigEndian(chunk);
        }

        return -1;
    }

    private static CompileException Damaged(string kind, SourcePlace place) => MicrographReader.Unreadable($"this {kind} picture is damaged or cut short", place);
}
