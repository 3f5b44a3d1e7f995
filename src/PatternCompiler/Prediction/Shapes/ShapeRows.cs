using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>Printed and drawn rings, cut by the same rows.</summary>
internal sealed class ShapeRows
{
    private readonly int[] rows;
    private readonly List<(double X, Region Region)> printedBorders = [];
    private readonly List<(double X, Region Region)> drawnBorders = [];

    /// <summary>Prepares the rows: one for each step, and one through every ring that could lie between two of them.</summary>
    /// <param name="printed">Printed outlines.</param>
    /// <param name="drawn">Drawn outlines on the same grid.</param>
    /// <param name="step">Distance of rows in grid steps.</param>
    public ShapeRows(ContourSet printed, ContourSet drawn, int step)
    {
        Printed = new RegionRows(printed);
        Drawn = new RegionRows(drawn);
        Step = Math.Max(1, step);
        var chosen = new SortedSet<int>();
        (int bottom, int top) = (int.MaxValue, int.MinValue);
        foreach (ContourSet set in new[] { printed, drawn })
        {
            for (int i = 0; i < set.Count; i++)
            {
                GridBox box = GridBox.Around(set[i]);
                (bottom, top) = (Math.Min(bottom, box.YBottom), Math.Max(top, box.YTop));
                if ((long)box.YTop - box.YBottom < 2L * Step && box.YTop > box.YBottom)
                {
                    chosen.Add((int)(((long)box.YBottom + box.YTop) >> 1));
                }
            }
        }

        // One below everything and one above, so that what lies between meets the area outside.
        for (long row = bottom + Step / 2L - Step; row < top + (long)Step; row += Step)
        {
            chosen.Add((int)row);
        }

        rows = [.. chosen];
    }

    public RegionRows Printed { get; }

    public RegionRows Drawn { get; }

    /// <summary>Distance of rows in grid steps.</summary>
    public int Step { get; }

    /// <summary>Hands on every row, from below, with its stretches from left to right, the first and the last without end.</summary>
    public void Run(Action<int, List<RowStretch>> see, CancellationToken cancellation)
    {
        Printed.Restart();
        Drawn.Restart();
        var stretches = new List<RowStretch>();
        foreach (int row in rows)
        {
            cancellation.ThrowIfCancellationRequested();
            Printed.Cut(row, printedBorders);
            Drawn.Cut(row, drawnBorders);
            Overlay(stretches);
            see(row, stretches);
        }
    }

    private void Overlay(List<RowStretch> stretches)
    {
        stretches.Clear();
        (Region printed, Region drawn) = (Region.Outside, Region.Outside);
        (int p, int d) = (0, 0);
        double from = double.NegativeInfinity;
        while (p < printedBorders.Count || d < drawnBorders.Count)
        {
            double nextPrinted = p < printedBorders.Count ? printedBorders[p].X : double.PositiveInfinity;
            double nextDrawn = d < drawnBorders.Count ? drawnBorders[d].X : double.PositiveInfinity;
            double to = Math.Min(nextPrinted, nextDrawn);
            if (to > from)
            {
                stretches.Add(new RowStretch(from, to, printed, drawn));
            }

            if (nextPrinted <= nextDrawn)
            {
                printed = printedBorders[p++].Region;
            }
            else
            {
                drawn = drawnBorders[d++].Region;
            }

            from = to;
        }

        stretches.Add(new RowStretch(from, double.PositiveInfinity, printed, drawn));
    }
}
