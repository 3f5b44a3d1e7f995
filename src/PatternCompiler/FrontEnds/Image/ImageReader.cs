using System.Buffers.Binary;
using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using SkiaSharp;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Image;

/// <summary>Turns a PNG picture into rectangles: dark pixels by a threshold, or grey levels as dose factors.</summary>
internal static class ImageReader
{
    /// <summary>Name of the layer that an image is on.</summary>
    public const string LayerName = "image";

    private const long MostPixels = 64_000_000;
    private const int MostRectangles = 10_000_000;
    private const int LongestFile = 1 << 29;

    /// <summary>
    /// Reads a picture. Its lower left corner is the origin; every pixel is a square of the stated size.
    /// </summary>
    /// <param name="input">The file's bytes; read once, front to back. Stays open.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="options">Size of a pixel, threshold or levels, grid.</param>
    /// <param name="sink">Takes notes.</param>
    /// <param name="cancellation">Stops the reading.</param>
    /// <exception cref="CompileException">The input is no PNG picture, or too large, or the options do not fit it.</exception>
    public static LayoutDocument Read(
        Stream input,
        string name,
        DrawingOptions options,
        DiagnosticSink sink,
        CancellationToken cancellation = default)
    {
        var place = new SourcePlace(name);
        double pixel = options.UnitNanometres ?? throw new CompileException(
            ImageCodes.NoPixelSize,
            "this is a PNG picture, and the size of its pixels is not stated",
            place,
            "say how large one is ('--unit \"100 nm\"', or 'unit' in the job) to write the picture; or export the drawing as DXF, SVG or GDSII");
        Check(options, pixel, place);
        using SKData data = ReadAll(input, place, cancellation);
        using SKCodec codec = SKCodec.Create(data) ?? throw Undecodable(place);
        if (codec.EncodedFormat != SKEncodedImageFormat.Png || !HasLastChunk(data.AsSpan()))
        {
            throw Undecodable(place);
        }

        (int width, int height) = (codec.Info.Width, codec.Info.Height);
        double steps = pixel * 1000 / options.GridPicometres;
        CheckSize(width, height, steps, options, place);
        LayoutDocument layout = ToLayout(codec, steps, options, place, cancellation);
        string size = string.Create(CultureInfo.InvariantCulture, $"{width * pixel / 1000:0.######} x {height * pixel / 1000:0.######} um");
        int count = layout.Cells[0].Shapes.Length;
        string rectangles = CountText.Of(count, "rectangle", "rectangles");
        sink.Note(ImageCodes.Size, string.Create(CultureInfo.InvariantCulture, $"{width} x {height} pixels of {pixel:0.######} nm become {rectangles}, {size}"), place);
        return layout;
    }

    private static LayoutDocument ToLayout(SKCodec codec, double steps, DrawingOptions options, SourcePlace place, CancellationToken cancellation)
    {
        (int width, int height) = (codec.Info.Width, codec.Info.Height);
        byte[] pixels = Decode(codec, place);
        var levels = new ImageLevels(options.Image);
        var places = new PlaceTable();
        var rectangles = new RectangleBuilder(
            height, steps, options.Image.DoseLevels, options.Image.KeepsZero, places.At(places.NumberOf(new(place.File, "picture", null, null, PlaceNumber.None))));
        byte[] row = new byte[width];
        for (int y = 0; y < height; y++)
        {
            cancellation.ThrowIfCancellationRequested();
            ReadOnlySpan<byte> source = pixels.AsSpan(y * width * 4, width * 4);
            for (int x = 0; x < width; x++)
            {
                row[x] = levels.Of(source.Slice(4 * x, 4));
            }

            rectangles.AddRow(row);
            if (rectangles.Count > MostRectangles)
            {
                throw new CompileException(
                    ImageCodes.TooLarge,
                    $"this picture needs more than {MostRectangles} rectangles",
                    place,
                    "use fewer dose levels, a threshold, or a smaller picture");
            }
        }

        var cell = new Cell(LayoutWriter.DefaultDrawingName, rectangles.Finish(), []);
        return new LayoutDocument(options.GridPicometres, [LayerName], [cell], cell.Name) { Places = places };
    }

    private static void Check(DrawingOptions options, double pixel, SourcePlace place)
    {
        string? fault =
            options.GridPicometres < 1 ? "the grid must be 1 pm or more"
            : !(pixel * 1000 >= options.GridPicometres && double.IsFinite(pixel)) ? "a pixel must be one grid step wide or more"
            : !(options.Image.Threshold > 0 && options.Image.Threshold <= 1) ? "the threshold must lie above 0 and up to 1"
            : options.Image.DoseLevels is < 1 or > 255 ? "there must be 1 to 255 dose levels"
            : options.Image is { KeepsZero: true, DoseLevels: 255 } ? "there must be at most 254 levels where they are heights, of which 0 is one"
            : null;
        if (fault is not null)
        {
            throw new CompileException(ImageCodes.BadOption, fault, place);
        }
    }

    private static void CheckSize(int width, int height, double steps, DrawingOptions options, SourcePlace place)
    {
        if ((long)width * height > MostPixels)
        {
            throw new CompileException(ImageCodes.TooLarge, $"this picture has {width} x {height} pixels, more than {MostPixels / 1_000_000} million", place, "cut or shrink it");
        }

        if (Math.Max(width, height) * steps > GridPoint.Limit)
        {
            throw new CompileException(
                ImageCodes.BadOption,
                $"this picture does not fit the grid of {LengthText.Nanometres(options.GridPicometres)}, which reaches {LengthText.Micrometres(GridPoint.Limit, options.GridPicometres)} um",
                place,
                "check the size of a pixel, or choose a coarser grid");
        }
    }

    private static SKData ReadAll(Stream input, SourcePlace place, CancellationToken cancellation)
    {
        using var content = new MemoryStream();
        byte[] buffer = new byte[1 << 16];
        for (int count = input.Read(buffer); count > 0; count = input.Read(buffer))
        {
            cancellation.ThrowIfCancellationRequested();
            if (content.Length + count > LongestFile)
            {
                throw new CompileException(ImageCodes.TooLarge, $"this picture has more than {LongestFile >> 20} MiB", place, "cut or shrink it");
            }

            content.Write(buffer, 0, count);
        }

        return SKData.CreateCopy(content.GetBuffer().AsSpan(0, (int)content.Length));
    }

    /// <summary>
    /// True if the chunks of a PNG file run up to IEND (W3C PNG, third edition, 5.3): a decoder may be content with less.
    /// </summary>
    private static bool HasLastChunk(ReadOnlySpan<byte> file)
    {
        const int SignatureLength = 8;
        const int BytesAroundContent = 12;
        for (long position = SignatureLength; position + BytesAroundContent <= file.Length;)
        {
            ReadOnlySpan<byte> chunk = file[(int)position..];
            if (chunk[4..8].SequenceEqual("IEND"u8))
            {
                return true;
            }

            position += BytesAroundContent + (long)BinaryPrimitives.ReadUInt32BigEndian(chunk);
        }

        return false;
    }

    private static byte[] Decode(SKCodec codec, SourcePlace place)
    {
        // Without a colour space the values come as they are stored.
        var info = new SKImageInfo(codec.Info.Width, codec.Info.Height, SKColorType.Rgba8888, SKAlphaType.Unpremul, null);
        byte[] pixels = new byte[info.BytesSize];
        unsafe
        {
            fixed (byte* target = pixels)
            {
                return codec.GetPixels(info, (nint)target) == SKCodecResult.Success ? pixels : throw Undecodable(place);
            }
        }
    }

    private static CompileException Undecodable(SourcePlace place) =>
        new(ImageCodes.Undecodable, "this PNG picture is damaged or cut short", place, "export the picture again");
}
