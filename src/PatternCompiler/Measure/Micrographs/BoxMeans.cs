namespace PatternCompiler.Measure.Micrographs;

/// <summary>Means over squares of a part of a picture, cut off at its border.</summary>
internal sealed class BoxMeans
{
    private readonly double[] sums;
    private readonly int left;
    private readonly int top;
    private readonly int width;
    private readonly int height;
    private readonly int reach;

    /// <summary>Of the pixels from a left and upper to a right and lower one.</summary>
    /// <param name="picture">The picture.</param>
    /// <param name="left">First column.</param>
    /// <param name="top">First row.</param>
    /// <param name="right">Last column.</param>
    /// <param name="bottom">Last row.</param>
    /// <param name="reach">A square reaches so many pixels to either side of its middle.</param>
    public BoxMeans(Micrograph picture, int left, int top, int right, int bottom, int reach)
    {
        (this.left, this.top, this.reach, width, height) = (left, top, reach, Math.Max(0, right - left + 1), Math.Max(0, bottom - top + 1));
        sums = new double[(width + 1) * (height + 1)];
        ReadOnlySpan<float> values = picture.Values.Span;
        for (int row = 0; row < height; row++)
        {
            double line = 0;
            for (int column = 0; column < width; column++)
            {
                line += values[(top + row) * picture.Width + left + column];
                sums[(row + 1) * (width + 1) + column + 1] = sums[row * (width + 1) + column + 1] + line;
            }
        }
    }

    /// <summary>The mean about a pixel.</summary>
    public double At(int column, int row)
    {
        (int from, int to) = (Math.Max(0, column - left - reach), Math.Min(width, column - left + reach + 1));
        (int first, int last) = (Math.Max(0, row - top - reach), Math.Min(height, row - top + reach + 1));
        double sum = sums[last * (width + 1) + to] - sums[first * (width + 1) + to] - sums[last * (width + 1) + from] + sums[first * (width + 1) + from];
        return sum / ((to - from) * (last - first));
    }
}
