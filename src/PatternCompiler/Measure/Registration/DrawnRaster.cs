using System.Runtime.InteropServices;
using PatternCompiler.Geometry;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Shapes;
using SkiaSharp;

namespace PatternCompiler.Measure.Registration;

/// <summary>
/// A drawing as two pictures: how much of each cell is drawn, and how much an outline or single line covers. A micrograph is
/// mostly a mixture of both, for the two sides of an edge differ and edges are bright.
/// </summary>
internal sealed class DrawnRaster
{
    private const double OutlineCells = 1.5;

    private DrawnRaster(int width, int height, double left, double top, double cell, float[] area, float[] outline)
    {
        (Width, Height, Left, Top, CellNanometres, Area, Outline) = (width, height, left, top, cell, area, outline);
    }

    /// <summary>Cells across.</summary>
    public int Width { get; }

    /// <summary>Cells down.</summary>
    public int Height { get; }

    /// <summary>The drawing's x at the left border.</summary>
    public double Left { get; }

    /// <summary>The drawing's y at the upper border.</summary>
    public double Top { get; }

    /// <summary>Side of a cell.</summary>
    public double CellNanometres { get; }

    /// <summary>Part of each cell that is drawn, row by row from the top left.</summary>
    public float[] Area { get; }

    /// <summary>Part of each cell that lies close to an outline.</summary>
    public float[] Outline { get; }

    /// <summary>Paints a part of a drawing.</summary>
    public static DrawnRaster Paint(DrawnPattern pattern, long gridPicometres, SampleWindow window, double cell)
    {
        int width = Math.Max(1, (int)Math.Ceiling((window.Right - window.Left) / cell));
        int height = Math.Max(1, (int)Math.Ceiling((window.Top - window.Bottom) / cell));
        using var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Alpha8, SKAlphaType.Premul));
        using var canvas = new SKCanvas(bitmap);
        using SKPath areas = PathOf(pattern.Areas);
        float[] area = Fill(areas, SKPaintStyle.Fill);
        using SKPath shapes = PathOf(pattern.Shapes);
        float[] outline = Fill(shapes, SKPaintStyle.Stroke);
        return new DrawnRaster(width, height, window.Left, window.Top, cell, area, outline);

        float[] Fill(SKPath path, SKPaintStyle style)
        {
            canvas.Clear(SKColors.Transparent);
            using var paint = new SKPaint { IsAntialias = true, Style = style, Color = SKColors.White, StrokeWidth = (float)OutlineCells };
            canvas.DrawPath(path, paint);
            canvas.Flush();
            return Softened(bitmap, width, height);
        }

        SKPath PathOf(ContourSet rings)
        {
            using var path = new SKPathBuilder { FillType = SKPathFillType.Winding };
            double scale = gridPicometres * 1e-3 / cell;
            for (int i = 0; i < rings.Count; i++)
            {
                ReadOnlySpan<GridPoint> ring = rings[i];
                GridBox box = GridBox.Around(ring);
                if (!window.Meets(new SampleWindow(box.XLeft * scale * cell, box.YBottom * scale * cell, box.XRight * scale * cell, box.YTop * scale * cell).Widened(cell)))
                {
                    continue;
                }

                for (int k = 0; k < ring.Length; k++)
                {
                    var point = new SKPoint((float)(ring[k].X * scale - window.Left / cell), (float)(window.Top / cell - ring[k].Y * scale));
                    if (k == 0)
                    {
                        path.MoveTo(point);
                    }
                    else
                    {
                        path.LineTo(point);
                    }
                }

                path.Close();
            }

            return path.Detach();
        }
    }

    /// <summary>Column, with its part, of an x: whole numbers are middles of cells.</summary>
    public double ColumnOf(double x) => (x - Left) / CellNanometres - 0.5;

    /// <summary>Row of a y.</summary>
    public double RowOf(double y) => (Top - y) / CellNanometres - 0.5;

    // One, two, one along both axes, so that a search that is off by a cell still sees what it looks for.
    private static float[] Softened(SKBitmap bitmap, int width, int height)
    {
        ReadOnlySpan<byte> stored = bitmap.GetPixelSpan();
        int stride = bitmap.RowBytes;
        var values = new float[width * height];
        for (int y = 0; y < height; y++)
        {
            for (int x = 0; x < width; x++)
            {
                values[y * width + x] = stored[y * stride + x] / 255f;
            }
        }

        Soften(values, width, height);
        return values;
    }

    /// <summary>Softens a picture in place by one, two, one along both axes.</summary>
    public static void Soften(float[] values, int width, int height)
    {
        for (int y = 0; y < height; y++)
        {
            Span<float> row = values.AsSpan(y * width, width);
            float before = row[0];
            for (int x = 0; x < width; x++)
            {
                float own = row[x];
                row[x] = (before + 2 * own + row[Math.Min(width - 1, x + 1)]) / 4;
                before = own;
            }
        }

        float[] above = values[..width];
        for (int y = 0; y < height; y++)
        {
            Span<float> row = values.AsSpan(y * width, width);
            Span<float> below = values.AsSpan(Math.Min(height - 1, y + 1) * width, width);
            for (int x = 0; x < width; x++)
            {
                float own = row[x];
                row[x] = (above[x] + 2 * own + below[x]) / 4;
                above[x] = own;
            }
        }
    }
}
