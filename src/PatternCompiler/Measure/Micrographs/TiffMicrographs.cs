using BitMiracle.LibTiff.Classic;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Measure.Micrographs;

/// <summary>The first page of a TIFF picture: grey of 8 or 16 bits, or colours of 8 bits, whose mean is taken.</summary>
internal static class TiffMicrographs
{
    private const double NanometresPerInch = 25.4e6;
    private const double NanometresPerCentimetre = 1e7;
    private const int LongestRow = 1 << 28;

    // The library has one handler for the whole process, and its own writes to the console.
    static TiffMicrographs() => Tiff.SetErrorHandler(new SilentErrors());

    /// <summary>True for the first bytes of a TIFF file.</summary>
    public static bool Recognises(ReadOnlySpan<byte> file) =>
        file.StartsWith((ReadOnlySpan<byte>)[(byte)'I', (byte)'I', 42, 0]) || file.StartsWith((ReadOnlySpan<byte>)[(byte)'M', (byte)'M', 0, 42]);

    /// <summary>Decodes it.</summary>
    public static Micrograph Read(byte[] file, SourcePlace place)
    {
        if (!TiffDirectory.FitsFile(file))
        {
            throw Damaged(place);
        }

        try
        {
            using Tiff tiff = Tiff.ClientOpen(place.File ?? "-", "r", new MemoryStream(file), new TiffStream()) ?? throw Damaged(place);
            return Read(tiff, file.Length, place);
        }
        catch (Exception fault) when (fault is not CompileException and not OutOfMemoryException and not OperationCanceledException)
        {
            // The library answers damage with whatever its arrays and arithmetic throw.
            throw Damaged(place);
        }
    }

    private static Micrograph Read(Tiff tiff, long fileBytes, SourcePlace place)
    {
        (int width, int height) = (Number(tiff, TiffTag.IMAGEWIDTH, 0), Number(tiff, TiffTag.IMAGELENGTH, 0));
        MicrographReader.RequireSize(width, height, place);
        int bits = Number(tiff, TiffTag.BITSPERSAMPLE, 1);
        int samples = Number(tiff, TiffTag.SAMPLESPERPIXEL, 1);
        var format = (SampleFormat)Number(tiff, TiffTag.SAMPLEFORMAT, (int)SampleFormat.UINT);
        var planes = (PlanarConfig)Number(tiff, TiffTag.PLANARCONFIG, (int)PlanarConfig.CONTIG);
        var photometric = (Photometric)Number(tiff, TiffTag.PHOTOMETRIC, (int)Photometric.MINISBLACK);
        bool isGrey = photometric is Photometric.MINISBLACK or Photometric.MINISWHITE && samples is 1 or 2;
        bool isColour = photometric == Photometric.RGB && samples is 3 or 4;
        if (bits is not (8 or 16) || format != SampleFormat.UINT || planes != PlanarConfig.CONTIG && samples > 1 || !(isGrey || isColour) || tiff.IsTiled())
        {
            throw MicrographReader.Unreadable(
                "this TIFF picture is not one of whole numbers of 8 or 16 bits, grey or in colours, in strips", place, "save it as grey TIFF of 8 or 16 bits, or as PNG");
        }

        long rowBytes = tiff.ScanlineSize();
        // Sizes of strips that the file does not state, the library works out from where they begin, wherever that is.
        if (rowBytes < (long)width * samples * bits / 8 || rowBytes > LongestRow || Enumerable.Range(0, tiff.NumberOfStrips()).Any(strip => tiff.RawStripSize(strip) is var bytes && (bytes < 1 || bytes > fileBytes)))
        {
            throw Damaged(place);
        }

        var row = new byte[rowBytes];
        var values = new float[width * height];
        int counted = isGrey ? 1 : 3;
        float white = photometric == Photometric.MINISWHITE ? (1 << bits) - 1 : 0;
        for (int y = 0; y < height; y++)
        {
            if (!tiff.ReadScanline(row, y))
            {
                throw Damaged(place);
            }

            for (int x = 0; x < width; x++)
            {
                float sum = 0;
                for (int s = 0; s < counted; s++)
                {
                    int at = x * samples + s;
                    sum += bits == 8 ? row[at] : BitConverter.ToUInt16(row, 2 * at);
                }

                sum /= counted;
                values[y * width + x] = white > 0 ? white - sum : sum;
            }
        }

        return new Micrograph(width, height, values, bits, PixelOf(tiff));
    }

    private static double? PixelOf(Tiff tiff)
    {
        var unit = (ResUnit)Number(tiff, TiffTag.RESOLUTIONUNIT, (int)ResUnit.INCH);
        double dots = tiff.GetField(TiffTag.XRESOLUTION) is [{ } value, ..] ? value.ToDouble() : 0;
        return !(dots > 0) ? null : unit switch
        {
            ResUnit.INCH => NanometresPerInch / dots,
            ResUnit.CENTIMETER => NanometresPerCentimetre / dots,
            _ => null,
        };
    }

    private static int Number(Tiff tiff, TiffTag tag, int usual) => tiff.GetField(tag) is [{ } value, ..] ? value.ToInt() : usual;

    private static CompileException Damaged(SourcePlace place) => MicrographReader.Unreadable("this TIFF picture is damaged or cut short", place);

    private sealed class SilentErrors : TiffErrorHandler
    {
        public override void ErrorHandler(Tiff tif, string method, string format, params object[] args)
        {
        }

        public override void ErrorHandlerExt(Tiff tif, object clientData, string method, string format, params object[] args)
        {
        }

        public override void WarningHandler(Tiff tif, string method, string format, params object[] args)
        {
        }

        public override void WarningHandlerExt(Tiff tif, object clientData, string method, string format, params object[] args)
        {
        }
    }
}
