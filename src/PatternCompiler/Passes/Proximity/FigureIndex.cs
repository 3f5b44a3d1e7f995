namespace PatternCompiler.Passes.Proximity;

/// <summary>Which figures come near a point: a grid of square cells, each with the figures whose box touches it.</summary>
internal sealed class FigureIndex
{
    private const int LargestSide = 4096;
    private readonly double cell;
    private readonly double xLow;
    private readonly double yLow;
    private readonly int columns;
    private readonly int rows;
    private readonly int[] starts;
    private readonly int[] members;

    /// <summary>Indexes figures by boxes widened by a reach, so that one cell answers for all points in it.</summary>
    public FigureIndex(FigureBox[] boxes, double reach)
    {
        FigureBox all = FigureBox.Around(boxes);
        xLow = all.XLow - reach;
        yLow = all.YLow - reach;
        double width = all.XHigh + reach - xLow;
        double height = all.YHigh + reach - yLow;
        double perFigure = Math.Sqrt(width * height / boxes.Length);
        cell = Math.Max(Math.Max(2 * reach, perFigure), Math.Max(width, height) / LargestSide);
        columns = (int)(width / cell) + 1;
        rows = (int)(height / cell) + 1;

        starts = new int[columns * rows + 1];
        foreach (FigureBox box in boxes)
        {
            (int left, int right, int bottom, int top) = CellsOf(box, reach);
            for (int row = bottom; row <= top; row++)
            {
                for (int column = left; column <= right; column++)
                {
                    starts[row * columns + column + 1]++;
                }
            }
        }

        for (int i = 1; i < starts.Length; i++)
        {
            starts[i] += starts[i - 1];
        }

        // Filled from the back, the ends of the cells move down to their starts.
        members = new int[starts[^1]];
        for (int figure = boxes.Length - 1; figure >= 0; figure--)
        {
            (int left, int right, int bottom, int top) = CellsOf(boxes[figure], reach);
            for (int row = bottom; row <= top; row++)
            {
                for (int column = left; column <= right; column++)
                {
                    members[--starts[row * columns + column + 1]] = figure;
                }
            }
        }

        Array.Copy(starts, 1, starts, 0, starts.Length - 1);
        starts[^1] = members.Length;
    }

    /// <summary>Figures, in rising order, that may lie within the reach of a point.</summary>
    public ReadOnlySpan<int> Near(double x, double y)
    {
        int column = (int)((x - xLow) / cell);
        int row = (int)((y - yLow) / cell);
        if (column < 0 || row < 0 || column >= columns || row >= rows)
        {
            return [];
        }

        int c = row * columns + column;
        return members.AsSpan(starts[c], starts[c + 1] - starts[c]);
    }

    private (int Left, int Right, int Bottom, int Top) CellsOf(in FigureBox box, double reach) => (
        (int)((box.XLow - reach - xLow) / cell),
        (int)((box.XHigh + reach - xLow) / cell),
        (int)((box.YLow - reach - yLow) / cell),
        (int)((box.YHigh + reach - yLow) / cell));
}
