namespace PatternCompiler.Pictures;

/// <summary>
/// Sums exposure on a square grid of fixed size. Where the place of what is still to come is unknown, the grid doubles
/// the size of its cells whenever something falls outside.
/// </summary>
internal sealed class ExposureMap
{
    private const int Cells = 2048;
    private readonly bool mayGrow;
    private float[] sums = new float[Cells * Cells];
    private double left;
    private double bottom;
    private double cell;

    /// <summary>A grid that covers the extent.</summary>
    /// <param name="extent">What it must cover at first.</param>
    /// <param name="mayGrow">False if what falls outside is of no interest.</param>
    public ExposureMap(SceneExtent extent, bool mayGrow)
    {
        this.mayGrow = mayGrow;
        cell = Math.Max(Math.Max(extent.Width, extent.Height), 1) / (Cells - 4);
        left = extent.Left - 2 * cell;
        bottom = extent.Bottom - 2 * cell;
    }

    /// <summary>Adds evenly spread exposure along a segment.</summary>
    public void AddLine(double x0, double y0, double x1, double y1, int points, double amount)
    {
        Cover(x0, y0);
        Cover(x1, y1);
        double cells = Math.Max(Math.Abs(x1 - x0), Math.Abs(y1 - y0)) / cell;
        int steps = (int)Math.Clamp(Math.Ceiling(cells) + 1, 1, points);
        float share = (float)(amount / steps);
        for (int i = 0; i < steps; i++)
        {
            double part = steps == 1 ? 0.5 : (double)i / (steps - 1);
            Deposit(x0 + part * (x1 - x0), y0 + part * (y1 - y0), share);
        }
    }

    /// <summary>
    /// The map as tints for the pixels of a frame.
    /// </summary>
    /// <param name="frame">The frame.</param>
    /// <param name="hue">Colour.</param>
    /// <param name="strongest">Exposure per square nanometre that the strongest tint stands for: reached or exceeded by one exposed pixel in fifty.</param>
    public SceneMap ToSceneMap(PictureFrame frame, int hue, out double strongest)
    {
        double[] pixels = PixelSmoothing.Spread(PixelSmoothing.Spread(Resample(frame), frame.PlotWidth), frame.PlotWidth);
        double[] exposed = [.. pixels.Where(value => value > 0)];
        Array.Sort(exposed);
        double full = exposed.Length == 0 ? 1 : exposed[(int)(exposed.Length * 0.98)];
        strongest = full / (frame.NanometresPerPixel * frame.NanometresPerPixel);
        var tints = new byte[pixels.Length];
        for (int i = 0; i < pixels.Length; i++)
        {
            // Less than a hundredth of the strongest is the rim that the grid's own smoothing adds.
            double part = pixels[i] / full;
            tints[i] = part < 0.01 ? (byte)0 : (byte)Math.Clamp(Math.Round(part * Palette.TintCount), 1, Palette.TintCount);
        }

        return new SceneMap(frame.PlotWidth, frame.PlotHeight, hue, tints);
    }

    private double[] Resample(PictureFrame frame)
    {
        var pixels = new double[frame.PlotWidth * frame.PlotHeight];
        double perPixel = frame.NanometresPerPixel;
        for (int row = 0; row < Cells; row++)
        {
            ReadOnlySpan<float> line = sums.AsSpan(row * Cells, Cells);
            double top = (frame.View.Top - (bottom + (row + 1) * cell)) / perPixel;
            for (int column = 0; column < Cells; column++)
            {
                if (line[column] > 0)
                {
                    Spread((left + column * cell - frame.View.Left) / perPixel, top, cell / perPixel, line[column]);
                }
            }
        }

        return pixels;

        void Spread(double x, double y, double size, double amount)
        {
            for (int py = (int)Math.Floor(y); py < y + size; py++)
            {
                double high = Math.Min(py + 1, y + size) - Math.Max(py, y);
                for (int px = (int)Math.Floor(x); px < x + size; px++)
                {
                    if ((uint)px < (uint)frame.PlotWidth && (uint)py < (uint)frame.PlotHeight)
                    {
                        double wide = Math.Min(px + 1, x + size) - Math.Max(px, x);
                        pixels[py * frame.PlotWidth + px] += amount * high * wide / (size * size);
                    }
                }
            }
        }
    }

    /// <summary>Splits an amount over the four nearest cells: keeps sum and place, and damps the beat of lines against cells.</summary>
    private void Deposit(double x, double y, float amount)
    {
        double column = (x - left) / cell - 0.5;
        double row = (y - bottom) / cell - 0.5;
        if (!(column >= 0 && row >= 0 && column < Cells - 1 && row < Cells - 1))
        {
            return;
        }

        int c = (int)column;
        int r = (int)row;
        float toRight = (float)(column - c);
        float upward = (float)(row - r);
        Span<float> lower = sums.AsSpan(r * Cells + c, 2);
        Span<float> upper = sums.AsSpan((r + 1) * Cells + c, 2);
        lower[0] += amount * (1 - upward) * (1 - toRight);
        lower[1] += amount * (1 - upward) * toRight;
        upper[0] += amount * upward * (1 - toRight);
        upper[1] += amount * upward * toRight;
    }

    private void Cover(double x, double y)
    {
        while (mayGrow && !(x >= left + cell && y >= bottom + cell && x <= left + (Cells - 1) * cell && y <= bottom + (Cells - 1) * cell))
        {
            Grow(toLeft: x < left + cell, downward: y < bottom + cell);
        }
    }

    private void Grow(bool toLeft, bool downward)
    {
        var grown = new float[sums.Length];
        int columnOffset = toLeft ? Cells / 2 : 0;
        int rowOffset = downward ? Cells / 2 : 0;
        for (int row = 0; row < Cells; row++)
        {
            for (int column = 0; column < Cells; column++)
            {
                grown[(row / 2 + rowOffset) * Cells + column / 2 + columnOffset] += sums[row * Cells + column];
            }
        }

        sums = grown;
        left -= toLeft ? Cells * cell : 0;
        bottom -= downward ? Cells * cell : 0;
        cell *= 2;
    }
}
