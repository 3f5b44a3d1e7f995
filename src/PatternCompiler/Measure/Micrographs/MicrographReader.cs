using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Measure.Micrographs;

/// <summary>Reads a micrograph of any kind, told by its first bytes.</summary>
internal static class MicrographReader
{
    private const int LongestFile = 1 << 29;

    // What is coarser than this is the resolution of a screen or a printer, not of a microscope.
    private const double LargestPixelNanometres = 10_000;

    /// <summary>Reads the whole file.</summary>
    /// <param name="input">Its bytes; stays open.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <exception cref="CompileException">It is no micrograph, damaged, or too large.</exception>
    public static Micrograph Read(Stream input, string name, CancellationToken cancellation = default)
    {
        var place = new SourcePlace(name);
        byte[] file = ReadAll(input, place, cancellation);
        Micrograph picture =
            SkiaMicrographs.Recognises(file) ? SkiaMicrographs.Read(file, place)
            : TiffMicrographs.Recognises(file) ? TiffMicrographs.Read(file, place)
            : NpyMicrographs.Recognises(file) ? NpyMicrographs.Read(file, place)
            : throw new CompileException(
                MeasureCodes.NoMicrograph,
                "this is neither a PNG, JPEG or TIFF picture nor an array file",
                place,
                "save the micrograph as TIFF or PNG");
        return picture.NanometresPerPixel is > 0 and <= LargestPixelNanometres ? picture : picture with { NanometresPerPixel = null };
    }

    /// <summary>Refuses a size before memory is used.</summary>
    internal static void RequireSize(long width, long height, SourcePlace place)
    {
        if (width < 1 || height < 1 || width > Micrograph.MostPixels || height > Micrograph.MostPixels || width * height > Micrograph.MostPixels)
        {
            throw new CompileException(
                MeasureCodes.TooLarge,
                $"this picture has {width} x {height} pixels, and 1 to {Micrograph.MostPixels / 1_000_000} million are read",
                place,
                "cut it, or save it smaller");
        }
    }

    /// <summary>The error for a picture that is damaged or of a kind that is not read.</summary>
    internal static CompileException Unreadable(string what, SourcePlace place, string fix = "save the micrograph again") =>
        new(MeasureCodes.NoMicrograph, what, place, fix);

    private static byte[] ReadAll(Stream input, SourcePlace place, CancellationToken cancellation)
    {
        using var content = new MemoryStream();
        byte[] buffer = new byte[1 << 16];
        for (int count = input.Read(buffer); count > 0; count = input.Read(buffer))
        {
            cancellation.ThrowIfCancellationRequested();
            if (content.Length + count > LongestFile)
            {
                throw new CompileException(MeasureCodes.TooLarge, $"this file has more than {LongestFile >> 20} MiB", place, "cut the picture, or save it smaller");
            }

            content.Write(buffer, 0, count);
        }

        return content.ToArray();
    }
}
