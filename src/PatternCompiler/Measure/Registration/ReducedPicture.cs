using PatternCompiler.Measure.Micrographs;

namespace PatternCompiler.Measure.Registration;

/// <summary>A micrograph made smaller: each cell is the mean of a square of pixels.</summary>
/// <param name="Width">Cells across.</param>
/// <param name="Height">Cells down.</param>
/// <param name="Factor">Pixels along the side of a cell.</param>
/// <param name="Values">Means, row by row from the top left.</param>
/// <param name="FullWidth">Pixels across the picture.</param>
/// <param name="FullHeight">Pixels down the picture, without what is cut off.</param>
internal sealed record ReducedPicture(int Width, int Height, int Factor, float[] Values, int FullWidth, int FullHeight)
{
    /// <summary>The picture with at most so many cells along its longer side.</summary>
    /// <param name="picture">The picture.</param>
    /// <param name="rows">Rows of it that are picture.</param>
    /// <param name="most">Cells along the longer side.</param>
    public static ReducedPicture Of(Micrograph picture, int rows, int most)
    {
        int factor = (Math.Max(picture.Width, rows) + most - 1) / most;
        (int width, int height) = (picture.Width / factor, rows / factor);
        var values = new float[width * height];
        Parallel.For(0, height, row =>
        {
            ReadOnlySpan<float> all = picture.Values.Span;
            Span<float> sums = values.AsSpan(row * width, width);
            for (int y = row * factor; y < (row + 1) * factor; y++)
            {
                ReadOnlySpan<float> line = all.Slice(y * picture.Width, picture.Width);
                for (int column = 0; column < width; column++)
                {
                    float sum = 0;
                    for (int x = column * factor; x < (column + 1) * factor; x++)
                    {
                        sum += line[x];
                    }

                    sums[column] += sum / (factor * factor);
                }
            }
        });
        return new ReducedPicture(width, height, factor, values, picture.Width, rows);
    }

    /// <summary>Pixels from the middle of the picture to the middle of a column's cells, to the right.</summary>
    public double UOf(double column) => (column + 0.5) * Factor - 0.5 - (FullWidth - 1) / 2.0;

    /// <summary>Pixels from the middle of the picture to the middle of a row's cells, upward.</summary>
    public double VOf(double row) => (FullHeight - 1) / 2.0 - ((row + 0.5) * Factor - 0.5);

    /// <summary>Column, with its part, of a place; the opposite of <see cref="UOf"/>.</summary>
    public double ColumnOf(double u) => (u + (FullWidth - 1) / 2.0 + 0.5) / Factor - 0.5;

    /// <summary>Row of a place.</summary>
    public double RowOf(double v) => ((FullHeight - 1) / 2.0 - v + 0.5) / Factor - 0.5;

    /// <summary>The values without the plane that fits them best: shading is no pattern.</summary>
    public float[] WithoutPlane()
    {
        double sum = 0, byColumn = 0, byRow = 0, columns = 0, rows = 0;
        for (int row = 0; row < Height; row++)
        {
            for (int column = 0; column < Width; column++)
            {
                double value = Values[row * Width + column];
                (double x, double y) = (column - (Width - 1) / 2.0, row - (Height - 1) / 2.0);
                (sum, byColumn, byRow) = (sum + value, byColumn + value * x, byRow + value * y);
                (columns, rows) = (columns + x * x, rows + y * y);
            }
        }

        (double mean, double slopeX, double slopeY) = (sum / Values.Length, columns > 0 ? byColumn / columns : 0, rows > 0 ? byRow / rows : 0);
        var flat = new float[Values.Length];
        for (int i = 0; i < flat.Length; i++)
        {
            flat[i] = (float)(Values[i] - mean - slopeX * (i % Width - (Width - 1) / 2.0) - slopeY * (i / Width - (Height - 1) / 2.0));
        }

        return flat;
    }
}
