using PatternCompiler.Geometry;
using PatternCompiler.Measure.Edges;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Passes.Flatten;
using SkiaSharp;

namespace PatternCompiler.Measure;

/// <summary>
/// What was found where, over the micrograph: drawn outlines in blue, a green dot on every edge that was found, a red cross where none
/// was, an orange bar across every line or gap whose width was measured.
/// </summary>
internal static class MeasureOverlay
{
    private const int LargestSide = 4096;
    private const double DarkPart = 0.001;
    private const int GreySamples = 100_000;
    private static readonly SKColor Drawn = new(0x4D, 0xA3, 0xFF);
    private static readonly SKColor Found = new(0x2E, 0xD5, 0x4A);
    private static readonly SKColor Missing = new(0xFF, 0x3B, 0x30);
    private static readonly SKColor Across = new(0xFF, 0x9F, 0x0A);

    /// <summary>Draws it as PNG.</summary>
    public static void Write(Micrograph picture, FlatLayout layout, MeasuredPicture measured, Stream output)
    {
        int factor = (Math.Max(picture.Width, picture.Height) + LargestSide - 1) / LargestSide;
        using SKBitmap bitmap = Greys(picture, factor);
        using var canvas = new SKCanvas(bitmap);
        using var paint = new SKPaint { IsAntialias = true, Style = SKPaintStyle.Stroke, StrokeWidth = 1, Color = Drawn };
        var frame = new Frame(measured.Map, picture.Width, measured.Rows, factor);
        double scale = layout.GridPicometres * 1e-3;
        foreach (FlatLayer group in layout.Groups)
        {
            for (int i = 0; i < group.Area.Count; i++)
            {
                DrawRing(canvas, paint, frame, group.Area[i], scale, bitmap.Width, bitmap.Height);
            }
        }

        foreach (MeasuredEdge edge in measured.Strips)
        {
            double offset = edge.IsFound ? edge.OffsetNanometres : 0;
            SKPoint at = frame.Point(edge.Strip.X + offset * edge.Strip.OutX, edge.Strip.Y + offset * edge.Strip.OutY);
            if (edge.IsFound)
            {
                (paint.Style, paint.Color) = (SKPaintStyle.Fill, Found);
                canvas.DrawCircle(at, 1.2f, paint);
            }
            else
            {
                (paint.Style, paint.Color) = (SKPaintStyle.Stroke, Missing);
                canvas.DrawLine(at.X - 3, at.Y - 3, at.X + 3, at.Y + 3, paint);
                canvas.DrawLine(at.X - 3, at.Y + 3, at.X + 3, at.Y - 3, paint);
            }
        }

        (paint.Style, paint.Color) = (SKPaintStyle.Stroke, Across);
        foreach (MeasuredWidth width in measured.Widths)
        {
            double half = width.WidthNanometres / 2;
            canvas.DrawLine(
                frame.Point(width.XNanometres - half * width.AcrossX, width.YNanometres - half * width.AcrossY),
                frame.Point(width.XNanometres + half * width.AcrossX, width.YNanometres + half * width.AcrossY),
                paint);
        }

        canvas.Flush();
        using SKData data = bitmap.Encode(SKEncodedImageFormat.Png, 100);
        data.SaveTo(output);
    }

    private static void DrawRing(SKCanvas canvas, SKPaint paint, Frame frame, ReadOnlySpan<GridPoint> ring, double scale, int width, int height)
    {
        SKPoint before = frame.Point(ring[^1].X * scale, ring[^1].Y * scale);
        foreach (GridPoint corner in ring)
        {
            SKPoint at = frame.Point(corner.X * scale, corner.Y * scale);
            bool isSeen = Math.Max(before.X, at.X) >= 0 && Math.Min(before.X, at.X) <= width && Math.Max(before.Y, at.Y) >= 0 && Math.Min(before.Y, at.Y) <= height;
            if (isSeen)
            {
                canvas.DrawLine(before, at, paint);
            }

            before = at;
        }
    }

    // Greys from the darkest to the brightest but for a few.
    private static SKBitmap Greys(Micrograph picture, int factor)
    {
        ReadOnlySpan<float> values = picture.Values.Span;
        var some = new List<float>();
        int stride = Math.Max(1, values.Length / GreySamples);
        for (int i = 0; i < values.Length; i += stride)
        {
            some.Add(values[i]);
        }

        some.Sort();
        float low = some[(int)(DarkPart * some.Count)], high = some[^(1 + (int)(DarkPart * some.Count))];
        float range = Math.Max(high - low, float.Epsilon);
        var bitmap = new SKBitmap(new SKImageInfo(picture.Width / factor, picture.Height / factor, SKColorType.Rgba8888, SKAlphaType.Opaque));
        Span<byte> pixels = bitmap.GetPixelSpan();
        for (int y = 0; y < bitmap.Height; y++)
        {
            for (int x = 0; x < bitmap.Width; x++)
            {
                float sum = 0;
                for (int i = 0; i < factor * factor; i++)
                {
                    sum += values[(y * factor + i / factor) * picture.Width + x * factor + i % factor];
                }

                byte grey = (byte)Math.Clamp(255 * (sum / (factor * factor) - low) / range, 0, 255);
                pixels.Slice(y * bitmap.RowBytes + 4 * x, 4).Fill(grey);
                pixels[y * bitmap.RowBytes + 4 * x + 3] = 255;
            }
        }

        return bitmap;
    }

    private sealed record Frame(PictureMap Map, int Width, int Rows, int Factor)
    {
        public SKPoint Point(double x, double y)
        {
            (double u, double v) = Map.ToPicture(x, y);
            return new SKPoint((float)((u + Width / 2.0) / Factor), (float)((Rows / 2.0 - v) / Factor));
        }
    }
}
