using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Order;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Writes merged areas along their outlines: one closed contour half a pitch inside the edge and then the inside by lines,
/// or contour after contour inwards. Each contour gets the dose of the strip, one pitch wide, that it stands for. What is
/// left in the middle, too narrow for a contour, is written by lines.
/// </summary>
internal sealed class ContourFill
{
    private readonly StrokeWriter writer;
    private readonly FillTally tally;
    private readonly FigureStrokes strokes;
    private readonly long gridFemtometres;
    private readonly LayerPlan plan;
    private readonly int pass;
    private readonly WorkLimits limits;
    private readonly CancellationToken cancellation;
    private double owed;

    public ContourFill(
        StrokeWriter writer,
        FillTally tally,
        FigureStrokes strokes,
        long gridFemtometres,
        LayerPlan plan,
        int pass,
        WorkLimits limits,
        CancellationToken cancellation)
    {
        this.writer = writer;
        this.tally = tally;
        this.strokes = strokes;
        this.gridFemtometres = gridFemtometres;
        this.plan = plan;
        this.pass = pass;
        this.limits = limits;
        this.cancellation = cancellation;
    }

    /// <summary>Writes areas.</summary>
    /// <param name="figures">All figures of the document.</param>
    /// <param name="numbers">Numbers of the areas to write.</param>
    public void Write(IReadOnlyList<Figure> figures, int[] numbers)
    {
        foreach (IGrouping<DoseFactor, int> group in numbers.GroupBy(n => figures[n].DoseFactor))
        {
            double density = plan.AreaDensity * group.Key.Value / plan.Passes;
            if (density <= 0)
            {
                foreach (int number in group)
                {
                    tally.CountWithoutDose(number);
                }

                continue;
            }

            List<ContourIsland> islands = ContourIsland.Find(figures, [.. group], limits, cancellation);
            TravelItem[] items = [.. islands.Select(i => TravelItem.Dot(i.Rings[0][0].X, i.Rings[0][0].Y))];
            TravelPlan travel = TravelOrder.Find(items, new TravelOptions(AllowsReversal: false), cancellation);
            foreach (int index in travel.Order)
            {
                writer.BreakOff();
                WriteIsland(islands[index], group.Key, figures[group.First()].Layer, density);
            }
        }
    }

    private void WriteIsland(ContourIsland island, DoseFactor dose, int layer, double density)
    {
        double pitch = plan.Pitch(linesAlongX: true).Spacing / gridFemtometres;
        var shape = new OffsetShape(OffsetJoin.Mitre);

        // The charge is that of the figures, whatever their corners lose or gain on the grid.
        density *= island.Area > 0 ? island.Area / ((double)ExactArea.Twice(island.Rings) / 2) : 1;
        ContourSet outer = island.Rings;
        for (int depth = 0; outer.Count > 0 && (depth == 0 || plan.ContoursReachInward); depth++)
        {
            cancellation.ThrowIfCancellationRequested();
            ContourSet path = RegionOffset.Compute(island.Rings, -(depth + 0.5) * pitch, shape, 1, limits, cancellation);
            if (path.Count == 0)
            {
                break;
            }

            ContourSet inner = RegionOffset.Compute(island.Rings, -(depth + 1) * pitch, shape, 1, limits, cancellation);
            double strip = ((double)ExactArea.Twice(outer) - (double)ExactArea.Twice(inner)) / 2 * gridFemtometres * gridFemtometres;
            WriteContours(path, density * strip, island.Figure);
            outer = inner;
        }

        var small = new List<Figure>();
        foreach (Trapezoid rest in TrapezoidDecomposition.Compute(outer, threads: 1, limits: limits, cancellation: cancellation))
        {
            var figure = Figure.FromTrapezoid(layer, dose, rest);
            if (!TryAdd(figure, density, island.Figure))
            {
                small.Add(figure);
            }
        }

        foreach (Figure figure in small)
        {
            if (!TryAdd(figure, density, island.Figure))
            {
                WriteRest(figure, ChargeOf(figure, density), island.Figure);
            }
        }
    }

    private void WriteRest(in Figure rest, double charge, int figure)
    {
        strokes.Make(rest, figure, plan, pass, charge);
        for (int i = 0; i < strokes.Count; i++)
        {
            writer.Expose(strokes.At(i, backwards: false), strokes.Reach, strokes.Reach);
        }
    }

    /// <summary>What is too small for a point of its own goes to the last stroke of the island; false if there is none yet.</summary>
    private bool TryAdd(in Figure rest, double density, int figure)
    {
        double charge = ChargeOf(rest, density);
        if (charge >= plan.SmallestStretchCharge)
        {
            WriteRest(rest, charge, figure);
            return true;
        }

        long whole = (long)Math.Floor(owed + charge + 0.5);
        bool isAdded = writer.TryAdd(figure, whole);
        owed += isAdded ? charge - whole : 0;
        return isAdded;
    }

    private double ChargeOf(in Figure rest, double density) => density * new AreaShape(rest, gridFemtometres, linesAlongX: true).Area;

    private void WriteContours(ContourSet path, double charge, int figure)
    {
        double total = 0;
        for (int i = 0; i < path.Count; i++)
        {
            total += Length(path[i]);
        }

        for (int i = 0; i < path.Count; i++)
        {
            WriteRing(path[i], charge * Length(path[i]) / total, figure);
        }
    }

    /// <summary>Evenly spaced points all the way round, starting at the corner nearest to where the beam is; a run for each side.</summary>
    private void WriteRing(ReadOnlySpan<GridPoint> ring, double charge, int figure)
    {
        double step = plan.Step(linesAlongX: true).Spacing;
        double length = Length(ring) * gridFemtometres;
        double points = Math.Max(1, Math.Round(length / step));
        if (plan.SmallestPointCharge > 0 && charge / points < plan.SmallestPointCharge)
        {
            points = Math.Max(1, Math.Floor(charge / plan.SmallestPointCharge));
        }

        AreaLines.RequireCountable(points, figure);
        double spacing = length / points;
        double reach = 2 * Math.Max(spacing, plan.Pitch(linesAlongX: true).Spacing);
        int start = NearestCorner(ring);
        double behind = 0;
        long written = 0;
        for (int k = 0; k < ring.Length; k++)
        {
            GridPoint from = ring[(start + k) % ring.Length];
            GridPoint to = ring[(start + k + 1) % ring.Length];
            double side = Distance(from, to) * gridFemtometres;
            long beyond = k == ring.Length - 1 ? (long)points : (long)Math.Ceiling((behind + side) / spacing - 0.5);
            if (beyond > written && side > 0)
            {
                (long x0, long y0) = At(((written + 0.5) * spacing - behind) / side);
                (long x1, long y1) = At(((beyond - 0.5) * spacing - behind) / side);
                owed += charge * (beyond - written) / points;
                long whole = (long)Math.Floor(owed + 0.5);
                owed -= whole;
                writer.Expose(StrokeWriter.Run(figure, x0, y0, x1, y1, (int)(beyond - written), whole), reach, reach);
                written = beyond;
            }

            behind += side;

            (long X, long Y) At(double part) => (
                (long)Math.Floor((from.X + part * ((double)to.X - from.X)) * gridFemtometres + 0.5),
                (long)Math.Floor((from.Y + part * ((double)to.Y - from.Y)) * gridFemtometres + 0.5));
        }
    }

    private int NearestCorner(ReadOnlySpan<GridPoint> ring)
    {
        int nearest = 0;
        double least = double.PositiveInfinity;
        for (int i = 0; i < ring.Length; i++)
        {
            double dx = (double)ring[i].X * gridFemtometres - writer.LastX;
            double dy = (double)ring[i].Y * gridFemtometres - writer.LastY;
            double distance = dx * dx + dy * dy;
            if (distance < least)
            {
                (least, nearest) = (distance, i);
            }
        }

        return nearest;
    }

    private static double Length(ReadOnlySpan<GridPoint> ring)
    {
        double length = 0;
        for (int i = 0; i < ring.Length; i++)
        {
            length += Distance(ring[i], ring[i + 1 == ring.Length ? 0 : i + 1]);
        }

        return length;
    }

    private static double Distance(GridPoint a, GridPoint b)
    {
        double dx = (double)b.X - a.X;
        double dy = (double)b.Y - a.Y;
        return Math.Sqrt(dx * dx + dy * dy);
    }
}
