using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Which figures lie at a place, or near it: a grid of square cells, each with the figures whose box touches it. Boxes are whole grid
/// steps here, rounded outward.
/// </summary>
internal sealed class FigureIndex
{
    private const int LargestSide = 4096;
    private readonly WholeBox[] boxes;
    private readonly double cell;
    private readonly double xLow;
    private readonly double yLow;
    private readonly int columns;
    private readonly int rows;
    private readonly int[] starts;
    private readonly int[] members;

    /// <summary>Indexes figures, at least one, in cells with about one figure each.</summary>
    public FigureIndex(IReadOnlyList<Figure> figures)
        : this(figures, null, figures.Count)
    {
    }

    private FigureIndex(IReadOnlyList<Figure> figures, Func<FigureBox, bool>? isIndexed, int count)
    {
        boxes = new WholeBox[figures.Count];
        FigureChunks.ForEach(
            boxes.Length,
            figure =>
            {
                var box = FigureBox.Of(figures[figure]);
                boxes[figure] = isIndexed is null || isIndexed(box) ? WholeBox.Around(box) : WholeBox.None;
            },
            CancellationToken.None);
        FigureBox all = AroundAll();
        (xLow, yLow) = (all.XLow, all.YLow);
        double perFigure = Math.Sqrt(all.Width * all.Height / count);
        cell = Math.Max(Math.Max(perFigure, 1), Math.Max(all.Width, all.Height) / LargestSide);
        columns = (int)(all.Width / cell) + 1;
        rows = (int)(all.Height / cell) + 1;

        var ends = new int[columns * rows + 1];
        ForEachCell((place, _) => ends[place + 1]++);
        for (int i = 1; i < ends.Length; i++)
        {
            ends[i] += ends[i - 1];
        }

        // Filled from the back, the ends of the cells move down to their starts.
        var filled = new int[ends[^1]];
        ForEachCell((place, figure) => filled[--ends[place + 1]] = figure);
        Array.Copy(ends, 1, ends, 0, ends.Length - 1);
        ends[^1] = filled.Length;
        (starts, members) = (ends, filled);

        void ForEachCell(Action<int, int> action)
        {
            for (int figure = boxes.Length - 1; figure >= 0; figure--)
            {
                if (boxes[figure].IsNone)
                {
                    continue;
                }

                CellRange cells = CellsOf(boxes[figure].ToBox());
                for (int row = cells.Bottom; row <= cells.Top; row++)
                {
                    for (int column = cells.Left; column <= cells.Right; column++)
                    {
                        action(row * columns + column, figure);
                    }
                }
            }
        }
    }

    /// <summary>Indexes those figures alone whose bounds are of a kind; null if there are none.</summary>
    public static FigureIndex? OfSome(IReadOnlyList<Figure> figures, Func<FigureBox, bool> isIndexed)
    {
        int count = figures.Count(figure => isIndexed(FigureBox.Of(figure)));
        return count == 0 ? null : new FigureIndex(figures, isIndexed, count);
    }

    /// <summary>Figures whose box lies within a distance of a place: each once, cell by cell.</summary>
    public Found Within(double x, double y, double distance) => Within(new FigureBox(x, y, x, y), distance);

    /// <summary>Figures whose box lies within a distance of another: each once, cell by cell.</summary>
    public Found Within(scoped in FigureBox around, double distance) => new(this, around, distance);

    private FigureBox AroundAll()
    {
        (int left, int bottom, int right, int top) = (int.MaxValue, int.MaxValue, int.MinValue, int.MinValue);
        foreach (WholeBox box in boxes)
        {
            if (!box.IsNone)
            {
                (left, bottom, right, top) = (Math.Min(left, box.Left), Math.Min(bottom, box.Bottom), Math.Max(right, box.Right), Math.Max(top, box.Top));
            }
        }

        return new FigureBox(left, bottom, right, top);
    }

    // What lies outside has its cells outside, too; all are held to where there are any.
    private CellRange CellsOf(in FigureBox box) => new(
        Math.Max(0, (int)Math.Floor((box.XLow - xLow) / cell)),
        Math.Min(columns - 1, (int)Math.Floor((box.XHigh - xLow) / cell)),
        Math.Max(0, (int)Math.Floor((box.YLow - yLow) / cell)),
        Math.Min(rows - 1, (int)Math.Floor((box.YHigh - yLow) / cell)));

    private readonly record struct CellRange(int Left, int Right, int Bottom, int Top);

    // Half the size of a box of fractions: there are millions, and looks ask for many.
    private readonly record struct WholeBox(int Left, int Bottom, int Right, int Top)
    {
        public static WholeBox None { get; } = new(1, 0, 0, 0);

        public bool IsNone => Left > Right;

        public static WholeBox Around(in FigureBox box) =>
            new((int)Math.Floor(box.XLow), (int)Math.Floor(box.YLow), (int)Math.Ceiling(box.XHigh), (int)Math.Ceiling(box.YHigh));

        public FigureBox ToBox() => new(Left, Bottom, Right, Top);
    }

    /// <summary>Walks through what is found.</summary>
    internal ref struct Found
    {
        private readonly FigureIndex index;
        private readonly FigureBox around;
        private readonly double distance;
        private readonly CellRange asked;
        private int row;
        private int column;
        private int next;
        private int end;

        public Found(FigureIndex index, scoped in FigureBox around, double distance)
        {
            (this.index, this.around, this.distance) = (index, around, distance);
            asked = index.CellsOf(new FigureBox(
                around.XLow - distance, around.YLow - distance, around.XHigh + distance, around.YHigh + distance));
            (row, column) = (asked.Bottom, asked.Left - 1);
            row = asked.Left > asked.Right ? asked.Top + 1 : row;
        }

        /// <summary>Number of the figure.</summary>
        public int Current { get; private set; }

        /// <summary>Its box.</summary>
        public FigureBox Box { get; private set; }

        /// <summary>Itself: for <c>foreach</c>.</summary>
        public readonly Found GetEnumerator() => this;

        /// <summary>Goes to the next figure.</summary>
        public bool MoveNext()
        {
            while (true)
            {
                while (next < end)
                {
                    int figure = index.members[next++];
                    if (index.boxes[figure].ToBox() is var box && box.IsWithin(around, distance) && IsFirstIn(box))
                    {
                        (Current, Box) = (figure, box);
                        return true;
                    }
                }

                column++;
                if (column > asked.Right)
                {
                    (row, column) = (row + 1, asked.Left);
                }

                if (row > asked.Top)
                {
                    return false;
                }

                int at = row * index.columns + column;
                (next, end) = (index.starts[at], index.starts[at + 1]);
            }
        }

        // A figure that lies in many of the cells is told in the first of them alone.
        private readonly bool IsFirstIn(in FigureBox box)
        {
            CellRange own = index.CellsOf(box);
            return column == Math.Max(asked.Left, own.Left) && row == Math.Max(asked.Bottom, own.Bottom);
        }
    }
}
