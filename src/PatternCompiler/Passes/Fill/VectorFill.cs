using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Passes.Fill;

/// <summary>Writes figures one by one: areas by lines of their own, single lines and dots as they are.</summary>
internal sealed class VectorFill
{
    /// <summary>
    /// The beam stays on for a step of up to this many spacings: on slanted edges the next line starts further out than
    /// one step, but still inside the same figure.
    /// </summary>
    private const double ReachInSpacings = 2;

    private readonly StrokeWriter writer;
    private readonly FillTally tally;
    private readonly long gridFemtometres;
    private readonly AreaLines lines = new();

    // Where each row of the current figure starts among its runs, and where the last one ends.
    private readonly List<int> rowStarts = [];
    private FigureKind lastKind = FigureKind.Dot;

    public VectorFill(StrokeWriter writer, FillTally tally, long gridFemtometres)
    {
        this.writer = writer;
        this.tally = tally;
        this.gridFemtometres = gridFemtometres;
    }

    /// <summary>Writes one figure of any kind.</summary>
    /// <param name="figure">The figure.</param>
    /// <param name="number">Its number in the document.</param>
    /// <param name="plan">How its layer is written.</param>
    /// <param name="pass">Which pass over the layer, from 0.</param>
    public void Write(in Figure figure, int number, LayerPlan plan, int pass)
    {
        // Single lines that continue each other are one polyline: the beam may stay on. Everything else starts with a jump.
        if (figure.Kind != FigureKind.Line || lastKind != FigureKind.Line)
        {
            writer.BreakOff();
        }

        lastKind = figure.Kind;
        switch (figure.Kind)
        {
            case FigureKind.Trapezoid:
                WriteArea(figure, number, plan, pass);
                break;
            case FigureKind.Line:
                WriteLine(figure, number, plan, pass);
                break;
            default:
                WriteDot(figure, number, plan, pass);
                break;
        }
    }

    private void WriteArea(in Figure figure, int number, LayerPlan plan, int pass)
    {
        bool alongX = plan.LinesRunAlongX(figure);
        var shape = new AreaShape(figure, gridFemtometres, alongX);
        if (!tally.TryCharge(plan.AreaDensity * figure.DoseFactor.Value * shape.Area, number, plan, pass, out long charge))
        {
            return;
        }

        ReadOnlySpan<LineCut> cuts = lines.Cut(shape, number, charge, plan, alongX);
        if (cuts.IsEmpty)
        {
            tally.CountMissed(number);
        }

        double reach = ReachInSpacings * Math.Max(plan.Pitch(alongX).Spacing, plan.Step(alongX).Spacing);
        SplitIntoRows(cuts);
        bool reversed = false;
        for (int round = 0; round < plan.Interlace; round++)
        {
            for (int row = round; row + 1 < rowStarts.Count; row += plan.Interlace)
            {
                if (plan.IsOneWay)
                {
                    writer.BreakOff();
                }

                WriteRow(cuts[rowStarts[row]..rowStarts[row + 1]], number, alongX, reversed, reach);
                reversed = !reversed && !plan.IsOneWay;
            }
        }
    }

    private void SplitIntoRows(ReadOnlySpan<LineCut> cuts)
    {
        rowStarts.Clear();
        for (int i = 0; i < cuts.Length; i++)
        {
            if (i == 0 || cuts[i].V != cuts[i - 1].V)
            {
                rowStarts.Add(i);
            }
        }

        rowStarts.Add(cuts.Length);
    }

    private void WriteRow(ReadOnlySpan<LineCut> runs, int number, bool alongX, bool reversed, double reach)
    {
        for (int i = 0; i < runs.Length; i++)
        {
            ref readonly LineCut cut = ref runs[reversed ? runs.Length - 1 - i : i];
            (long first, long last) = reversed ? (cut.Last, cut.First) : (cut.First, cut.Last);
            writer.Expose(
                alongX
                    ? StrokeWriter.Run(number, first, cut.V, last, cut.V, cut.Points, cut.Charge)
                    : StrokeWriter.Run(number, cut.V, first, cut.V, last, cut.Points, cut.Charge),
                reach,
                reach);
        }
    }

    private void WriteLine(in Figure figure, int number, LayerPlan plan, int pass)
    {
        long x0 = figure.Start.X * gridFemtometres;
        long y0 = figure.Start.Y * gridFemtometres;
        double dx = figure.End.X * gridFemtometres - x0;
        double dy = figure.End.Y * gridFemtometres - y0;
        double length = Math.Sqrt(dx * dx + dy * dy);
        if (!tally.TryCharge(plan.LineDensity * figure.DoseFactor.Value * length, number, plan, pass, out long charge))
        {
            return;
        }

        // Along a slanted line a step in codes counts codes of the axis that the line moves along most.
        double step = plan.Step(linesAlongX: Math.Abs(dx) >= Math.Abs(dy)).Spacing;
        double points = Math.Max(1, Math.Round(length / step));
        if (plan.SmallestPointCharge > 0 && plan.LineDensity * figure.DoseFactor.Value * step >= plan.SmallestPointCharge)
        {
            points = Math.Max(1, Math.Min(points, Math.Floor((double)charge / plan.SmallestPointCharge)));
        }

        AreaLines.RequireCountable(points, number);
        double inset = 0.5 / points;
        writer.Expose(
            StrokeWriter.Run(
                number,
                x0 + (long)Math.Round(dx * inset),
                y0 + (long)Math.Round(dy * inset),
                x0 + (long)Math.Round(dx * (1 - inset)),
                y0 + (long)Math.Round(dy * (1 - inset)),
                (int)points,
                charge),
            ReachInSpacings * step,
            ReachInSpacings * step);
    }

    private void WriteDot(in Figure figure, int number, LayerPlan plan, int pass)
    {
        if (tally.TryCharge(plan.DotCharge * figure.DoseFactor.Value, number, plan, pass, out long charge))
        {
            writer.Expose(Stroke.Dot(number, figure.Start.X * gridFemtometres, figure.Start.Y * gridFemtometres, charge), 0, 0);
        }
    }
}
