using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Passes.Fill;

/// <summary>Makes the strokes of one figure: areas by lines of their own, single lines and dots as they are.</summary>
internal sealed class FigureStrokes
{
    /// <summary>
    /// The beam stays on for a step of up to this many spacings: on slanted edges the next line starts further out than
    /// one step, but still inside the same figure.
    /// </summary>
    private const double ReachInSpacings = 2;

    /// <summary>Weights of edges are of no use where codes are off by more than this within the figure.</summary>
    public const double LargestDeviationCodes = 0.25;

    private readonly FillTally tally;
    private readonly long gridFemtometres;
    private readonly AreaLines lines = new();
    private readonly List<Stroke> strokes = [];

    // Which strokes start a row of their own.
    private readonly List<bool> startsRow = [];

    // Where each row of the current figure starts among its runs, and where the last one ends.
    private readonly List<int> rowStarts = [];

    public FigureStrokes(FillTally tally, long gridFemtometres)
    {
        this.tally = tally;
        this.gridFemtometres = gridFemtometres;
    }

    /// <summary>Number of strokes; none if the figure is not written.</summary>
    public int Count => strokes.Count;

    /// <summary>How far the next stroke may start from the end of the last one with the beam on, in femtometres.</summary>
    public double Reach { get; private set; }

    /// <summary>Where writing starts and ends, in femtometres; null if there is no stroke.</summary>
    public TravelItem? Ends => strokes.Count == 0
        ? null
        : new(strokes[0].XFemtometres, strokes[0].YFemtometres, strokes[^1].EndXFemtometres, strokes[^1].EndYFemtometres);

    /// <summary>A stroke in writing order, from 0.</summary>
    /// <param name="index">Which.</param>
    /// <param name="backwards">The figure is written backwards.</param>
    public Stroke At(int index, bool backwards)
    {
        if (!backwards)
        {
            return strokes[index];
        }

        Stroke stroke = strokes[^(index + 1)];
        return stroke with
        {
            XFemtometres = stroke.EndXFemtometres,
            YFemtometres = stroke.EndYFemtometres,
            EndXFemtometres = stroke.XFemtometres,
            EndYFemtometres = stroke.YFemtometres,
        };
    }

    /// <summary>True if the stroke is the first of a row.</summary>
    /// <param name="index">Which, in writing order.</param>
    /// <param name="backwards">The figure is written backwards.</param>
    public bool StartsRow(int index, bool backwards) => backwards ? index == 0 || startsRow[^index] : startsRow[index];

    /// <summary>Makes the strokes of a figure.</summary>
    /// <param name="figure">The figure.</param>
    /// <param name="number">Its number in the document.</param>
    /// <param name="plan">How its layer is written.</param>
    /// <param name="pass">Which pass over the layer, from 0.</param>
    /// <param name="asked">Charge of an area in this pass, in zeptocoulombs; that of its dose if left out.</param>
    public void Make(in Figure figure, int number, LayerPlan plan, int pass, double? asked = null)
    {
        strokes.Clear();
        startsRow.Clear();
        switch (figure.Kind)
        {
            case FigureKind.Trapezoid:
                MakeArea(figure, number, plan, pass, asked);
                break;
            case FigureKind.Line:
                MakeLine(figure, number, plan, pass);
                break;
            default:
                MakeDot(figure, number, plan, pass);
                break;
        }
    }

    private void MakeArea(in Figure figure, int number, LayerPlan plan, int pass, double? asked)
    {
        bool alongX = plan.LinesRunAlongX(figure);
        var shape = new AreaShape(figure, gridFemtometres, alongX);
        if (plan.Axes.AreUneven)
        {
            plan = FollowField(figure, number, plan, pass);
        }

        double whole = asked * plan.Passes ?? plan.Charges.AreaDensity * figure.DoseFactor.Value * shape.Area;
        if (!tally.TryCharge(whole, number, plan, pass, out long charge))
        {
            return;
        }

        ReadOnlySpan<LineCut> cuts = lines.Cut(shape, number, charge, plan, alongX);
        if (lines.StepsBetweenPoints > 1 && pass == 0)
        {
            tally.CountWidened(number, lines.StepsBetweenPoints);
        }

        if (cuts.IsEmpty)
        {
            tally.CountMissed(number);
        }
        else if (plan.TestsCentres && pass == 0)
        {
            long given = 0;
            foreach (ref readonly LineCut cut in cuts)
            {
                given += cut.Charge;
            }

            tally.CountCentred(number, charge, given, plan);
        }

        Reach = ReachInSpacings * Math.Max(plan.Axes.Pitch(alongX).Spacing, plan.Axes.Step(alongX).Spacing * lines.StepsBetweenPoints);
        SplitIntoRows(cuts);
        bool reversed = false;
        for (int round = 0; round < plan.Interlace; round++)
        {
            for (int row = round; row + 1 < rowStarts.Count; row += plan.Interlace)
            {
                AddRow(cuts[rowStarts[row]..rowStarts[row + 1]], number, alongX, reversed);
                reversed = !reversed && !plan.IsOneWay;
            }
        }
    }

    /// <summary>In a tilted or distorted field codes stand elsewhere from figure to figure.</summary>
    private LayerPlan FollowField(in Figure figure, int number, LayerPlan plan, int pass)
    {
        var alongX = new AreaShape(figure, gridFemtometres, linesAlongX: true);
        var alongY = new AreaShape(figure, gridFemtometres, linesAlongX: false);
        (LayerPlan local, double deviation) = plan.Near(alongY.Low, alongX.Low, alongY.High, alongX.High);
        if (deviation > LargestDeviationCodes && pass == 0)
        {
            tally.CountUneven(number, deviation, Math.Max(alongX.High - alongX.Low, alongY.High - alongY.Low));
        }

        return local;
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

    private void AddRow(ReadOnlySpan<LineCut> runs, int number, bool alongX, bool reversed)
    {
        for (int i = 0; i < runs.Length; i++)
        {
            ref readonly LineCut cut = ref runs[reversed ? runs.Length - 1 - i : i];
            (long first, long last) = reversed ? (cut.Last, cut.First) : (cut.First, cut.Last);
            strokes.Add(alongX
                ? StrokeWriter.Run(number, first, cut.V, last, cut.V, cut.Points, cut.Charge)
                : StrokeWriter.Run(number, cut.V, first, cut.V, last, cut.Points, cut.Charge));
            startsRow.Add(i == 0);
        }
    }

    private void MakeLine(in Figure figure, int number, LayerPlan plan, int pass)
    {
        long x0 = figure.Start.X * gridFemtometres;
        long y0 = figure.Start.Y * gridFemtometres;
        double dx = figure.End.X * gridFemtometres - x0;
        double dy = figure.End.Y * gridFemtometres - y0;
        double length = Math.Sqrt(dx * dx + dy * dy);
        if (!tally.TryCharge(plan.Charges.LineDensity * figure.DoseFactor.Value * length, number, plan, pass, out long charge))
        {
            return;
        }

        // Along a slanted line a step in codes counts codes of the axis that the line moves along most.
        double step = plan.Axes.Step(linesAlongX: Math.Abs(dx) >= Math.Abs(dy)).Spacing;
        double points = Math.Max(1, Math.Round(length / step));
        double most = plan.Charges.SmallestPoint > 0 ? Math.Max(1, Math.Floor((double)charge / plan.Charges.SmallestPoint)) : points;
        bool isRegular = plan.Charges.LineDensity * figure.DoseFactor.Value / plan.Passes * step >= plan.Charges.SmallestPoint;
        if (most < points && (isRegular || plan.Charges.LineDensity / plan.Passes * step >= plan.Charges.SmallestPoint))
        {
            if (!isRegular && pass == 0)
            {
                tally.CountWidened(number, (int)Math.Ceiling(points / most));
            }

            points = most;
        }

        AreaLines.RequireCountable(points, number);
        double inset = 0.5 / points;
        Reach = ReachInSpacings * step;
        startsRow.Add(true);
        strokes.Add(StrokeWriter.Run(
            number,
            x0 + (long)Math.Round(dx * inset),
            y0 + (long)Math.Round(dy * inset),
            x0 + (long)Math.Round(dx * (1 - inset)),
            y0 + (long)Math.Round(dy * (1 - inset)),
            (int)points,
            charge));
    }

    private void MakeDot(in Figure figure, int number, LayerPlan plan, int pass)
    {
        if (tally.TryCharge(plan.Charges.DotCharge * figure.DoseFactor.Value, number, plan, pass, out long charge))
        {
            Reach = 0;
            startsRow.Add(true);
            strokes.Add(Stroke.Dot(number, figure.Start.X * gridFemtometres, figure.Start.Y * gridFemtometres, charge));
        }
    }
}
