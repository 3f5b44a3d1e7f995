using System.Runtime.InteropServices;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Scans the bounding box of areas row by row: runs of pixels with the beam on, each pixel with the dose of the figures
/// that cover it, in proportion to the area that they cover. Memory holds one row and the figures that it crosses.
/// </summary>
internal sealed class RasterScan
{
    private const int PixelLimit = 1 << 24;

    private readonly StrokeWriter writer;
    private readonly FillTally tally;
    private readonly long gridFemtometres;
    private readonly LayerPlan plan;
    private readonly int pass;
    private readonly bool alongX;
    private readonly List<Active> active = [];
    private readonly Taper starts = new(sharesWithNext: false);
    private readonly Taper ends = new(sharesWithNext: false);

    private readonly Dictionary<int, double> waiting;
    private readonly FigureValues given;

    // What rounding to whole zeptocoulombs owes to the next run.
    private double owed;

    /// <summary>One pass over a layer's areas.</summary>
    /// <param name="writer">Takes the strokes.</param>
    /// <param name="tally">Counts figures that do not get what they ask for.</param>
    /// <param name="gridFemtometres">Grid of the figures.</param>
    /// <param name="plan">How the layer is filled.</param>
    /// <param name="pass">Number of the pass, from 0.</param>
    /// <param name="waiting">Doses too small for a pixel of their own, by figure: what one pass has no place for waits for the next.</param>
    /// <param name="given">What each figure has got in all passes so far, in zeptocoulombs.</param>
    public RasterScan(
        StrokeWriter writer, FillTally tally, long gridFemtometres, LayerPlan plan, int pass, Dictionary<int, double> waiting, FigureValues given)
    {
        this.pass = pass;
        this.waiting = waiting;
        this.given = given;
        this.writer = writer;
        this.tally = tally;
        this.gridFemtometres = gridFemtometres;
        this.plan = plan;
        alongX = plan.Fill.Direction != FillDirection.Y;
    }

    /// <summary>Writes areas.</summary>
    /// <param name="figures">All figures of the document.</param>
    /// <param name="numbers">Numbers of the areas to write.</param>
    public void Write(IReadOnlyList<Figure> figures, int[] numbers)
    {
        var order = new List<(long Low, int Number)>(numbers.Length);
        (long lowV, long highV, long lowU, long highU) = (long.MaxValue, long.MinValue, long.MaxValue, long.MinValue);
        foreach (int number in numbers)
        {
            if (plan.Charges.AreaDensity * figures[number].DoseFactor.Value <= 0)
            {
                if (pass == 0)
                {
                    tally.CountWithoutDose(number);
                }

                continue;
            }

            var shape = new AreaShape(figures[number], gridFemtometres, alongX);
            var across = new AreaShape(figures[number], gridFemtometres, !alongX);
            order.Add((shape.Low, number));
            (lowV, highV) = (Math.Min(lowV, shape.Low), Math.Max(highV, shape.High));
            (lowU, highU) = (Math.Min(lowU, across.Low), Math.Max(highU, across.High));
        }

        if (order.Count == 0)
        {
            return;
        }

        order.Sort();
        (PointGrid rows, int rowCount) = Pixels(plan.Axes.Pitch(alongX), lowV, highV, "line pitch");
        (PointGrid columns, int columnCount) = Pixels(plan.Axes.Step(alongX), lowU, highU, "point step");
        if (!plan.TestsCentres)
        {
            int most = order.MaxBy(area => figures[area.Number].DoseFactor).Number;
            plan.Charges.RequireDwell(PixelCharge(rows, columns) * figures[most].DoseFactor.Value, most);
        }

        for (int round = 0; round < plan.Interlace; round++)
        {
            Scan(figures, order, rows, round, rowCount, columns, columnCount);
        }

        Tally(figures, order, PixelCharge(rows, columns));
    }

    private void Tally(IReadOnlyList<Figure> figures, List<(long Low, int Number)> order, double pixelCharge)
    {
        foreach ((_, int number) in order)
        {
            if (plan.TestsCentres && pass == 0)
            {
                double asked = plan.Charges.AreaDensity / plan.Passes * figures[number].DoseFactor.Value * new AreaShape(figures[number], gridFemtometres, alongX).Area;
                tally.CountCentred(number, asked, given[number], plan);
            }
            else if (pass == plan.Passes - 1 && waiting.TryGetValue(number, out double dose))
            {
                tally.CountLacking(number, dose * pixelCharge, given[number]);
            }
        }
    }

    /// <summary>What waits when a figure ends goes to a pixel that has been written.</summary>
    private void Settle(int figure, double pixelCharge)
    {
        if (waiting.TryGetValue(figure, out double dose) && (long)Math.Floor(dose * pixelCharge + 0.5) is var charge && writer.TryAdd(figure, charge))
        {
            waiting.Remove(figure);
            given[figure] += charge;
        }
    }

    private void Scan(
        IReadOnlyList<Figure> figures, List<(long Low, int Number)> order, PointGrid rows, int firstRow, int rowCount, PointGrid columns, int columnCount)
    {
        var row = new PixelRow(columnCount);
        active.Clear();
        double pixelCharge = PixelCharge(rows, columns);
        double smallest = pixelCharge >= plan.Charges.SmallestPoint ? plan.Charges.SmallestPoint / pixelCharge : 0;
        int next = 0;
        bool reversed = false;
        for (int r = firstRow; r < rowCount; r += plan.Interlace)
        {
            double middle = rows.Origin + r * rows.Step;
            double low = middle - rows.Step / 2;
            double high = middle + rows.Step / 2;
            for (; next < order.Count && order[next].Low < high; next++)
            {
                int number = order[next].Number;
                active.Add(new(new AreaShape(figures[number], gridFemtometres, alongX), number, figures[number].DoseFactor.Value));
            }

            foreach (ref readonly Active area in CollectionsMarshal.AsSpan(active))
            {
                if (plan.TestsCentres)
                {
                    AddCentres(row, area, rows.PositionOf(r), columns);
                }
                else
                {
                    AddCovered(row, area, low, high, rows.Step, columns);
                }
            }

            row.FoldSmall(smallest, waiting);
            if (row.Beyond > row.First)
            {
                WriteRow(row, rows.PositionOf(r), rows, columns, pixelCharge, reversed);
                reversed = !reversed && !plan.IsOneWay;
            }

            row.Clear();
            active.RemoveAll(HasEnded);

            bool HasEnded(Active area)
            {
                bool hasEnded = area.Shape.High <= high;
                if (hasEnded && waiting.Count > 0)
                {
                    Settle(area.Number, pixelCharge);
                }

                return hasEnded;
            }
        }

        foreach (Active area in active)
        {
            Settle(area.Number, pixelCharge);
        }
    }

    /// <summary>Charge of a pixel that is covered whole, at the layer's base dose.</summary>
    private double PixelCharge(PointGrid rows, PointGrid columns) => plan.Charges.AreaDensity * rows.Step * columns.Step / plan.Passes;

    /// <summary>Adds the part of a figure that lies in one row, pixel by pixel in proportion to the covered area.</summary>
    private void AddCovered(PixelRow row, in Active area, double low, double high, double height, PointGrid columns)
    {
        Span<double> corners = stackalloc double[4];
        corners = corners[..area.Shape.Corners(corners)];
        (double firstStart, double lastStart, double firstEnd, double lastEnd) =
            (double.PositiveInfinity, double.NegativeInfinity, double.PositiveInfinity, double.NegativeInfinity);
        foreach (ShapePiece piece in new ShapePieces(area.Shape, corners, low, high))
        {
            firstStart = Math.Min(firstStart, Math.Min(piece.Start0, piece.Start1));
            lastStart = Math.Max(lastStart, Math.Max(piece.Start0, piece.Start1));
            firstEnd = Math.Min(firstEnd, Math.Min(piece.End0, piece.End1));
            lastEnd = Math.Max(lastEnd, Math.Max(piece.End0, piece.End1));
        }

        if (double.IsInfinity(firstStart))
        {
            return;
        }

        // A pixel reaches half a step to either side of its centre.
        double origin = columns.Origin - columns.Step / 2;
        starts.Begin((firstStart - origin) / columns.Step, (lastStart - origin) / columns.Step);
        ends.Begin((firstEnd - origin) / columns.Step, (lastEnd - origin) / columns.Step);
        foreach (ShapePiece piece in new ShapePieces(area.Shape, corners, low, high))
        {
            double part = (piece.V1 - piece.V0) / height;
            starts.Add(part, (piece.Start0 - origin) / columns.Step, (piece.Start1 - origin) / columns.Step, 1, 1);
            ends.Add(part, (piece.End0 - origin) / columns.Step, (piece.End1 - origin) / columns.Step, 1, 1);
        }

        starts.Finish();
        ends.Finish();
        int pixel = (int)starts.First;
        int taperEnd = (int)Math.Min(starts.Beyond, ends.Beyond);
        for (; pixel < taperEnd; pixel++)
        {
            row.Add(pixel, (ends.At(pixel) - starts.At(pixel)) * area.Dose, area.Number);
        }

        if (ends.First > pixel)
        {
            row.AddRun(pixel, (int)ends.First, ends.Whole * area.Dose, area.Number);
            pixel = (int)ends.First;
        }

        for (; pixel < ends.Beyond; pixel++)
        {
            row.Add(pixel, (ends.At(pixel) - starts.At(pixel)) * area.Dose, area.Number);
        }
    }

    private static void AddCentres(PixelRow row, in Active area, long v, PointGrid columns)
    {
        (long start, long end) = area.Shape.High > v ? area.Shape.At(v) : (0, -1);
        if (end > start)
        {
            row.AddRun((int)columns.FirstFrom(start), (int)columns.FirstFrom(end), area.Dose, area.Number);
        }
    }

    private void WriteRow(PixelRow row, long v, PointGrid rows, PointGrid columns, double pixelCharge, bool reversed)
    {
        if (plan.IsOneWay)
        {
            writer.BreakOff();
        }

        // A row is the most of a figure that a raster writes at a time.
        writer.Begin(TriggerUnit.Figure);
        (double reachX, double reachY) = alongX ? (1.5 * columns.Step, 1.5 * rows.Step) : (1.5 * rows.Step, 1.5 * columns.Step);
        int direction = reversed ? -1 : 1;
        int at = reversed ? row.Beyond - 1 : row.First;
        while (at >= row.First && at < row.Beyond)
        {
            int end = row.EndOfRun(at, direction);
            double dose = row.Dose(at);
            int points = Math.Abs(end - at);
            owed += dose * points * pixelCharge;
            long charge = (long)Math.Floor(owed + 0.5);
            if (charge > 0)
            {
                owed -= charge;
                long first = columns.PositionOf(at);
                long last = columns.PositionOf(end - direction);
                int figure = row.Figure(at);
                given[figure] += charge;
                writer.Expose(
                    alongX
                        ? StrokeWriter.Run(figure, first, v, last, v, points, charge)
                        : StrokeWriter.Run(figure, v, first, v, last, points, charge),
                    reachX,
                    reachY);
            }

            at = end;
        }
    }

    /// <summary>Pixels tile the box evenly, or stand on codes; number 0 is the first that touches the box.</summary>
    private static (PointGrid Grid, int Count) Pixels(in AxisPlan spacing, long low, long high, string what)
    {
        double count = (high - low) / spacing.Spacing;
        if (count > PixelLimit)
        {
            throw new CompileException(
                FillCodes.TooManyPoints,
                $"the raster would be {count:0} pixels wide or high, more than {PixelLimit}",
                fix: $"raise the {what}");
        }

        if (spacing.Rule is AxisRule.Shared or AxisRule.Centre)
        {
            PointGrid nodes = spacing.Nodes;
            double first = Math.Floor((low - nodes.Origin) / nodes.Step + 0.5);
            double last = Math.Floor((high - nodes.Origin) / nodes.Step + 0.5);
            return (nodes with { Origin = nodes.Origin + first * nodes.Step }, (int)(last - first) + 2);
        }

        int pixels = Math.Max(1, (int)Math.Round(count));
        double step = (double)(high - low) / pixels;
        return (new PointGrid(low + step / 2, step), pixels + 1);
    }

    private readonly record struct Active(AreaShape Shape, int Number, double Dose);
}
