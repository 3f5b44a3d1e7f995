using SkiaSharp;

namespace PatternCompiler.Pictures;

/// <summary>Draws on a raster canvas.</summary>
internal sealed class SkiaSurface : IPictureSurface, IDisposable
{
    // One path of very many rings is slow to scan: parts that cannot overlap are drawn in groups of this size.
    private const int PartsPerPath = 4096;
    private readonly SKSurface surface;
    private readonly SKCanvas canvas;
    private readonly int density;

    /// <summary>An empty surface.</summary>
    /// <param name="width">Width in the pixels that everything is drawn in.</param>
    /// <param name="height">Height in these pixels.</param>
    /// <param name="density">Dots of the raster for each of them, along either axis.</param>
    public SkiaSurface(int width, int height, int density = 1)
    {
        this.density = density;
        surface = SKSurface.Create(new SKImageInfo(width * density, height * density, SKColorType.Rgba8888, SKAlphaType.Premul))
            ?? throw new InvalidOperationException($"No raster surface of {width} by {height} pixels.");
        canvas = surface.Canvas;
        canvas.Scale(density);
    }

    public void FillRectangle(double x, double y, double width, double height, PictureColour colour)
    {
        using var paint = new SKPaint { Color = ColourOf(colour), IsAntialias = false };
        canvas.DrawRect((float)x, (float)y, (float)width, (float)height, paint);
    }

    public void FillRuns(ReadOnlySpan<PixelRun> runs, PictureColour colour)
    {
        using var paint = new SKPaint { Color = ColourOf(colour), IsAntialias = false };
        foreach (PixelRun run in runs)
        {
            canvas.DrawRect(run.X, run.Y, run.Length, 1, paint);
        }
    }

    public void Fill(ScreenPath path, PictureColour colour)
    {
        using var paint = new SKPaint { Color = ColourOf(colour), IsAntialias = true };
        using SKPath shape = PathOf(path, 0, path.Count, closed: true);
        canvas.DrawPath(shape, paint);
    }

    public void Stroke(ScreenPath path, PictureColour colour, double width, bool closed = false, bool dashed = false)
    {
        using var paint = new SKPaint
        {
            Color = ColourOf(colour),
            IsAntialias = true,
            Style = SKPaintStyle.Stroke,
            StrokeWidth = (float)width,
            StrokeCap = dashed ? SKStrokeCap.Butt : SKStrokeCap.Round,
            StrokeJoin = SKStrokeJoin.Round,
        };
        using SKPathEffect? dash = dashed ? SKPathEffect.CreateDash([4, 3], 0) : null;
        paint.PathEffect = dash;
        for (int first = 0; first < path.Count; first += PartsPerPath)
        {
            using SKPath shape = PathOf(path, first, Math.Min(path.Count, first + PartsPerPath), closed);
            canvas.DrawPath(shape, paint);
        }
    }

    public void Discs(ScreenPath path, PictureColour colour, double radius)
    {
        using var paint = new SKPaint
        {
            Color = ColourOf(colour),
            IsAntialias = true,
            Style = SKPaintStyle.Stroke,
            StrokeWidth = (float)(2 * radius),
            StrokeCap = SKStrokeCap.Round,
        };
        var points = new SKPoint[path.PointCount];
        for (int i = 0; i < points.Length; i++)
        {
            (float x, float y) = path.Points[i];
            points[i] = new SKPoint(x, y);
        }

        canvas.DrawPoints(SKPointMode.Points, points, paint);
    }

    public void BeginClip(double x, double y, double width, double height)
    {
        canvas.Save();
        canvas.ClipRect(new SKRect((float)x, (float)y, (float)(x + width), (float)(y + height)));
    }

    public void EndClip() => canvas.Restore();

    /// <summary>Writes the drawing as PNG.</summary>
    public void Encode(Stream output)
    {
        using SKImage image = surface.Snapshot();
        using SKData data = image.Encode(SKEncodedImageFormat.Png, 100);
        data.SaveTo(output);
    }

    /// <summary>Writes a part of the drawing as a small PNG: opaque, and of 16 levels of each colour, which no eye misses in a small picture.</summary>
    /// <param name="output">Takes the bytes.</param>
    /// <param name="left">Left edge of the part, in pixels of the drawing.</param>
    /// <param name="top">Upper edge of the part.</param>
    /// <param name="width">Its width.</param>
    /// <param name="height">Its height.</param>
    public void EncodePart(Stream output, int left, int top, int width, int height)
    {
        using var part = new SKBitmap(new SKImageInfo(width * density, height * density, SKColorType.Rgba8888, SKAlphaType.Opaque));
        surface.ReadPixels(part.Info, part.GetPixels(), part.RowBytes, left * density, top * density);
        foreach (ref byte level in part.GetPixelSpan())
        {
            level = (byte)((level & 0xF0) | (level >> 4));
        }

        using SKPixmap? pixels = part.PeekPixels();
        using SKData data = pixels?.Encode(new SKPngEncoderOptions(SKPngEncoderFilterFlags.NoFilters, 9)) ?? throw new InvalidOperationException($"No picture of {width} by {height} pixels.");
        data.SaveTo(output);
    }

    public void Dispose() => surface.Dispose();

    private static SKColor ColourOf(PictureColour colour) => new(colour.Red, colour.Green, colour.Blue, colour.Alpha);

    private static SKPath PathOf(ScreenPath path, int first, int end, bool closed)
    {
        using var builder = new SKPathBuilder();
        for (int part = first; part < end; part++)
        {
            ReadOnlySpan<(float X, float Y)> points = path[part];
            builder.MoveTo(points[0].X, points[0].Y);
            for (int i = 1; i < points.Length; i++)
            {
                builder.LineTo(points[i].X, points[i].Y);
            }

            if (closed)
            {
                builder.Close();
            }
        }

        builder.FillType = SKPathFillType.Winding;
        return builder.Detach();
    }
}
