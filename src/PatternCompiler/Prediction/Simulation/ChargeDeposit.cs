namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// Charge at a place, split over the nine nearest pixel centres by a quadratic spline (the "triangular-shaped cloud" of R. W. Hockney and
/// J. W. Eastwood, Computer Simulation Using Particles, 1981).
/// </summary>
/// <param name="U">Where it falls, in pixels from the centre of pixel (0, 0).</param>
/// <param name="V">Where it falls, upward.</param>
/// <param name="Dose">Its charge over the area of a pixel, in coulombs per square metre.</param>
internal readonly record struct ChargeDeposit(double U, double V, double Dose)
{
    private const int Reach = 1;

    /// <summary>Column of the nearest pixel.</summary>
    public int Column => (int)Math.Round(U);

    /// <summary>Row of the nearest pixel.</summary>
    public int Row => (int)Math.Round(V);

    /// <summary>Adds what falls on a rectangle of pixels.</summary>
    /// <param name="target">The rectangle, row by row from the bottom.</param>
    /// <param name="stride">From a row of the target to the next.</param>
    /// <param name="firstColumn">Column of the first pixel.</param>
    /// <param name="firstRow">Row of the first pixel.</param>
    /// <param name="columns">Width of the rectangle.</param>
    /// <param name="rows">Height of the rectangle.</param>
    public void AddTo(Span<float> target, int stride, int firstColumn, int firstRow, int columns, int rows)
    {
        int column = Column - firstColumn;
        int row = Row - firstRow;
        if (column < -Reach || column >= columns + Reach || row < -Reach || row >= rows + Reach)
        {
            return;
        }

        double right = U - Column;
        double up = V - Row;
        double x0 = Dose * 0.5 * (0.5 - right) * (0.5 - right);
        double x1 = Dose * (0.75 - right * right);
        double x2 = Dose * 0.5 * (0.5 + right) * (0.5 + right);
        double y0 = 0.5 * (0.5 - up) * (0.5 - up);
        double y1 = 0.75 - up * up;
        double y2 = 0.5 * (0.5 + up) * (0.5 + up);
        AddRow(target, stride, column, row - 1, columns, rows, x0 * y0, x1 * y0, x2 * y0);
        AddRow(target, stride, column, row, columns, rows, x0 * y1, x1 * y1, x2 * y1);
        AddRow(target, stride, column, row + 1, columns, rows, x0 * y2, x1 * y2, x2 * y2);
    }

    /// <summary>True if some of it falls on a rectangle of pixels.</summary>
    public bool Touches(int firstColumn, int firstRow, int columns, int rows)
    {
        // Half way between two pixels the farthest of three gets nothing.
        double right = U - Column;
        double up = V - Row;
        int left = Column - (right == 0.5 ? 0 : Reach);
        int last = Column + (right == -0.5 ? 0 : Reach);
        int bottom = Row - (up == 0.5 ? 0 : Reach);
        int top = Row + (up == -0.5 ? 0 : Reach);
        return Dose != 0 && last >= firstColumn && left < firstColumn + columns && top >= firstRow && bottom < firstRow + rows;
    }

    private static void AddRow(Span<float> target, int stride, int column, int row, int columns, int rows, double left, double middle, double right)
    {
        if ((uint)row >= (uint)rows)
        {
            return;
        }

        Span<float> line = target.Slice(row * stride, columns);
        if (column > 0 && column < columns - 1)
        {
            line = line.Slice(column - 1, 3);
            line[2] += (float)right;
            line[0] += (float)left;
            line[1] += (float)middle;
            return;
        }

        foreach ((int at, double dose) in (ReadOnlySpan<(int, double)>)[(column - 1, left), (column, middle), (column + 1, right)])
        {
            if ((uint)at < (uint)columns)
            {
                line[at] += (float)dose;
            }
        }
    }
}
