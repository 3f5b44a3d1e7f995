using PatternCompiler.Model.Figures;

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
    public FigureIndex(IReadOnlyList<Figure> figures, FigureBox[] boxes, double reach)
    {
        xLow = boxes.Min(b => b.XLow) - reach;
        yLow = boxes.Min(b => b.YLow) - reach;
        double width = boxes.Max(b => b.XHigh) + reach - xLow;
        double height = boxes.Max(b => b.YHigh) + reach - yLow;
        double perFigure = Math.Sqrt(width * height / figures.Count);
        cell = Math.Max(Math.Max(2 * reach, perFigure), Math.Max(width, height) / LargestSide);
        columns = (int)(width / cell) + 1;
        rows = (int)(height / cell) + 1;

        starts = new int[columns * rows + 1];
        foreach (FigureBox box in boxes)
        {
            ForCells(box, reach, c => starts[c + 1]++);
        }

        for (int i = 1; i < starts.Length; i++)
        {
            starts[i] += starts[i - 1];
        }

        members = new int[starts[^1]];
        int[] next = starts[..^1];
        for (int figure = 0; figure < boxes.Length; figure++)
        {
            int current = figure;
            ForCells(boxes[figure], reach, c => members[next[c]++] = current);
        }
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

    private void ForCells(FigureBox box, double reach, Action<int> action)
    {
        int columnEnd = (int)((box.XHigh + reach - xLow) / cell);
        int rowEnd = (int)((box.YHigh + reach - yLow) / cell);
        for (int row = (int)((box.YLow - reach - yLow) / cell); row <= rowEnd; row++)
        {
            for (int column = (int)((box.XLow - reach - xLow) / cell); column <= columnEnd; column++)
            {
                action(row * columns + column);
            }
        }
    }
}
