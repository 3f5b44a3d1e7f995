namespace PatternCompiler.Instrument;

/// <summary>
/// A field whose distortion was measured on a regular grid of commanded positions, with bicubic interpolation between
/// the grid's points (R. G. Keys, IEEE Trans. Acoust. Speech Signal Process. 29, 1153 (1981)); linear continuation makes
/// the points beyond the border that the interpolation asks for.
/// </summary>
internal sealed record GridCalibration : MeasuredCalibration
{
    private readonly int columns;
    private readonly int rows;
    private readonly double firstX;
    private readonly double firstY;
    private readonly double stepX;
    private readonly double stepY;
    private readonly double[] shiftX;
    private readonly double[] shiftY;

    /// <summary>A measured grid.</summary>
    /// <param name="columns">Grid points along x, 2 or more.</param>
    /// <param name="rows">Grid points along y, 2 or more.</param>
    /// <param name="first">Commanded position of the lower left point, in nanometres.</param>
    /// <param name="step">Distance between points along x and y, in nanometres, above zero.</param>
    /// <param name="landings">Landing position of every point, row by row from the lower left, in nanometres.</param>
    public GridCalibration(int columns, int rows, (double X, double Y) first, (double X, double Y) step, IReadOnlyList<(double X, double Y)> landings)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(columns, 2);
        ArgumentOutOfRangeException.ThrowIfLessThan(rows, 2);
        ArgumentOutOfRangeException.ThrowIfNotEqual(landings.Count, columns * rows);
        this.columns = columns;
        this.rows = rows;
        (firstX, firstY) = first;
        (stepX, stepY) = step;
        shiftX = new double[landings.Count];
        shiftY = new double[landings.Count];
        for (int i = 0; i < landings.Count; i++)
        {
            shiftX[i] = landings[i].X - (firstX + i % columns * stepX);
            shiftY[i] = landings[i].Y - (firstY + i / columns * stepY);
        }
    }

    /// <inheritdoc/>
    public override IEnumerable<double> Numbers => [3, columns, rows, firstX, firstY, stepX, stepY, .. shiftX, .. shiftY];

    /// <inheritdoc/>
    public override (double X, double Y) Land(double commandedX, double commandedY)
    {
        double u = Math.Clamp((commandedX - firstX) / stepX, 0, columns - 1);
        double v = Math.Clamp((commandedY - firstY) / stepY, 0, rows - 1);
        int column = Math.Min((int)u, columns - 2);
        int row = Math.Min((int)v, rows - 2);
        Span<double> wx = stackalloc double[4];
        Span<double> wy = stackalloc double[4];
        Keys(u - column, wx);
        Keys(v - row, wy);
        double x = 0;
        double y = 0;
        for (int j = 0; j < 4; j++)
        {
            for (int i = 0; i < 4; i++)
            {
                double weight = wx[i] * wy[j];
                x += weight * Shift(shiftX, column - 1 + i, row - 1 + j);
                y += weight * Shift(shiftY, column - 1 + i, row - 1 + j);
            }
        }

        return (commandedX + x, commandedY + y);
    }

    /// <inheritdoc/>
    public override bool Covers(double commandedX, double commandedY) =>
        commandedX >= firstX && commandedX <= firstX + (columns - 1) * stepX
        && commandedY >= firstY && commandedY <= firstY + (rows - 1) * stepY;

    // Keys's kernel with parameter −1/2: reproduces straight lines and parabolas.
    private static void Keys(double t, Span<double> weights)
    {
        weights[0] = ((-0.5 * t + 1) * t - 0.5) * t;
        weights[1] = (1.5 * t - 2.5) * t * t + 1;
        weights[2] = ((-1.5 * t + 2) * t + 0.5) * t;
        weights[3] = (0.5 * t - 0.5) * t * t;
    }

    private double Shift(double[] shift, int column, int row)
    {
        if (column < 0)
        {
            return 2 * Shift(shift, 0, row) - Shift(shift, 1, row);
        }

        if (column >= columns)
        {
            return 2 * Shift(shift, columns - 1, row) - Shift(shift, columns - 2, row);
        }

        return row < 0 ? 2 * shift[column] - shift[columns + column]
            : row >= rows ? 2 * shift[(rows - 1) * columns + column] - shift[(rows - 2) * columns + column]
            : shift[row * columns + column];
    }
}
