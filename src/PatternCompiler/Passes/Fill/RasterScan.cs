using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Scans the bounding box of areas row by row. A row is a series of runs with the beam on where pixel centres lie inside
/// a figure; each run has the dose of its figure. Only the figures that the current row crosses are held.
/// </summary>
internal sealed class RasterScan
{
    private const int PixelLimit = 1 << 24;

    private readonly StrokeWriter writer;
    private readonly long gridFemtometres;
    private readonly LayerPlan plan;
    private readonly bool alongX;
    private readonly List<Active> active = [];
    private readonly List<Stroke> row = [];

    public RasterScan(StrokeWriter writer, long gridFemtometres, LayerPlan plan)
    {
        this.writer = writer;
        this.gridFemtometres = gridFemtometres;
        this.plan = plan;
        alongX = plan.RasterRunsAlongX;
    }

    /// <summary>Writes areas.</summary>
    /// <param name="figures">All figures of the document.</param>
    /// <param name="numbers">Numbers of the areas to write.</param>
    public void Write(IReadOnlyList<Figure> figures, int[] numbers)
    {
        var order = new (long Low, int Number)[numbers.Length];
        (long lowV, long highV, long lowU, long highU) = (long.MaxValue, long.MinValue, long.MaxValue, long.MinValue);
        for (int i = 0; i < numbers.Length; i++)
        {
            var shape = new AreaShape(figures[numbers[i]], gridFemtometres, alongX);
            var across = new AreaShape(figures[numbers[i]], gridFemtometres, !alongX);
            order[i] = (shape.Low, numbers[i]);
            (lowV, highV) = (Math.Min(lowV, shape.Low), Math.Max(highV, shape.High));
            (lowU, highU) = (Math.Min(lowU, across.Low), Math.Max(highU, across.High));
        }

        Array.Sort(order);
        PointGrid rows = Tile(plan.Pitch(alongX), lowV, highV, "line pitch");
        PointGrid columns = Tile(plan.Step(alongX), lowU, highU, "point step");
        double pointCharge = plan.AreaDensity * rows.Step * columns.Step;
        double reach = 1.5 * Math.Max(rows.Step, columns.Step);
        int next = 0;
        bool reversed = false;
        for (long r = rows.FirstFrom(lowV); rows.PositionOf(r) < highV; r++)
        {
            long v = rows.PositionOf(r);
            for (; next < order.Length && order[next].Low <= v; next++)
            {
                Figure figure = figures[order[next].Number];
                active.Add(new(new AreaShape(figure, gridFemtometres, alongX), order[next].Number, pointCharge * figure.DoseFactor.Value));
            }

            active.RemoveAll(a => a.Shape.High <= v);
            CollectRow(v, columns);
            WriteRow(reversed, reach);
            reversed = !reversed && !plan.IsOneWay;
        }
    }

    private void CollectRow(long v, PointGrid columns)
    {
        row.Clear();
        foreach (ref readonly Active area in System.Runtime.InteropServices.CollectionsMarshal.AsSpan(active))
        {
            (long start, long end) = area.Shape.At(v);
            long first = columns.FirstFrom(start);
            long beyond = columns.FirstFrom(end);
            if (beyond <= first)
            {
                continue;
            }

            long points = beyond - first;
            long charge = (long)Math.Round(area.PointCharge * points);
            if (charge > 0)
            {
                long from = columns.PositionOf(first);
                long to = columns.PositionOf(beyond - 1);
                row.Add(alongX
                    ? Stroke.Line(area.Number, from, v, to, v, (int)points, charge)
                    : Stroke.Line(area.Number, v, from, v, to, (int)points, charge));
            }
        }

        row.Sort(alongX
            ? static (a, b) => a.XFemtometres.CompareTo(b.XFemtometres)
            : static (a, b) => a.YFemtometres.CompareTo(b.YFemtometres));
    }

    private void WriteRow(bool reversed, double reach)
    {
        if (plan.IsOneWay)
        {
            writer.BreakOff();
        }

        for (int i = 0; i < row.Count; i++)
        {
            Stroke run = reversed ? row[^(i + 1)] : row[i];
            if (reversed)
            {
                run = run with
                {
                    XFemtometres = run.EndXFemtometres,
                    YFemtometres = run.EndYFemtometres,
                    EndXFemtometres = run.XFemtometres,
                    EndYFemtometres = run.YFemtometres,
                };
            }

            writer.Expose(run, reach);
        }
    }

    /// <summary>Pixels tile the box evenly, or stand on codes.</summary>
    private static PointGrid Tile((double Femtometres, PointGrid? Codes) spacing, long low, long high, string what)
    {
        double count = (high - low) / spacing.Femtometres;
        if (count > PixelLimit)
        {
            throw new CompileException(
                FillCodes.TooManyPoints,
                $"the raster would be {count:0} pixels wide or high, more than {PixelLimit}",
                fix: $"raise the {what}");
        }

        if (spacing.Codes is PointGrid onCodes)
        {
            return onCodes;
        }

        double step = (high - low) / Math.Max(1, Math.Round(count));
        return new PointGrid(low + step / 2, step);
    }

    private readonly record struct Active(AreaShape Shape, int Number, double PointCharge);
}
