using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Order;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Writes merged areas along their outlines: one closed contour half a pitch inside the edge and then the inside by lines,
/// or contour after contour inwards. Each contour gets the dose of the strip, one pitch wide, that it stands for. What is
/// left in the middle, too narrow for a contour, is written by lines.
/// </summary>
internal sealed class ContourFill(string word, bool reachesInward) : FillStrategy(word, isOneWay: false)
{
    internal override Action<int> Begin(LayerAreas layer)
    {
        int[] areas = layer.FindAreas();
        return pass => new ContourLines(layer, reachesInward, pass).Write(areas);
    }
}

/// <summary>Writes the areas of a layer once.</summary>
internal sealed class ContourLines(LayerAreas layer, bool reachesInward, int pass)
{
    private readonly long gridFemtometres = layer.GridFemtometres;
    private readonly LayerPlan plan = layer.Plan;
    private double owed;

    public void Write(int[] areas)
    {
        IReadOnlyList<Figure> figures = layer.Figures;
        foreach (IGrouping<DoseFactor, int> group in areas.GroupBy(n => figures[n].DoseFactor))
        {
            double density = plan.Charges.AreaDensity * group.Key.Value / plan.Passes;
            if (density <= 0)
            {
                foreach (int number in group)
                {
                    layer.Tally.CountWithoutDose(number);
                }

                continue;
            }

            List<ContourIsland> islands = ContourIsland.Find(figures, [.. group], layer.Limits, layer.Cancellation);
            TravelItem[] items = [.. islands.Select(i => TravelItem.Dot(i.Rings[0][0].X, i.Rings[0][0].Y))];
            TravelPlan travel = TravelOrder.Find(items, new TravelOptions(AllowsReversal: false), layer.Cancellation);
            foreach (int index in travel.Order)
            {
                layer.Writer.BreakOff();
                layer.Writer.Begin(TriggerUnit.Figure);
                WriteIsland(islands[index], group.Key, figures[group.First()].Layer, density);
            }
        }
    }

    private void WriteIsland(ContourIsland island, DoseFactor dose, int onLayer, double density)
    {
        double pitch = plan.Axes.Pitch(linesAlongX: true).Spacing / gridFemtometres;
        var shape = new OffsetShape(OffsetJoin.Mitre);

        // The charge is that of the figures, whatever their corners lose or gain on the grid.
        density *= island.Area > 0 ? island.Area / ((double)ExactArea.Twice(island.Rings) / 2) : 1;
        ContourSet outer = island.Rings;
        for (int depth = 0; outer.Count > 0 && (depth == 0 || reachesInward); depth++)
        {
            layer.Cancellation.ThrowIfCancellationRequested();
            ContourSet path = RegionOffset.Compute(island.Rings, -(depth + 0.5) * pitch, shape, 1, layer.Limits, layer.Cancellation);
            if (path.Count == 0)
            {
                break;
            }

            ContourSet inner = RegionOffset.Compute(island.Rings, -(depth + 1) * pitch, shape, 1, layer.Limits, layer.Cancellation);
            double strip = ((double)ExactArea.Twice(outer) - (double)ExactArea.Twice(inner)) / 2 * gridFemtometres * gridFemtometres;
            WriteContours(path, density * strip, island.Figure);
            outer = inner;
        }

        var small = new List<Figure>();
        foreach (Trapezoid rest in TrapezoidDecomposition.Compute(outer, threads: 1, limits: layer.Limits, cancellation: layer.Cancellation))
        {
            var figure = Figure.FromTrapezoid(onLayer, dose, rest);
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
        layer.Strokes.Make(rest, figure, plan, pass, charge);
        for (int i = 0; i < layer.Strokes.Count; i++)
        {
            if (layer.Strokes.StartsRow(i, backwards: false))
            {
                layer.Writer.Begin(TriggerUnit.Row);
            }

            layer.Writer.Expose(layer.Strokes.At(i, backwards: false), layer.Strokes.Reach, layer.Strokes.Reach);
        }
    }

    /// <summary>What is too small for a point of its own goes to the last stroke of the island; false if there is none yet.</summary>
    private bool TryAdd(in Figure rest, double density, int figure)
    {
        double charge = ChargeOf(rest, density);
        if (charge >= plan.Charges.SmallestSegment)
        {
            WriteRest(rest, charge, figure);
            return true;
        }

        long whole = (long)Math.Floor(owed + charge + 0.5);
        bool isAdded = layer.Writer.TryAdd(figure, whole);
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
        double step = plan.Axes.Step(linesAlongX: true).Spacing;
        double length = Length(ring) * gridFemtometres;
        double points = Math.Max(1, Math.Round(length / step));
        if (plan.Charges.SmallestPoint > 0 && charge / points < plan.Charges.SmallestPoint)
        {
            points = Math.Max(1, Math.Floor(charge / plan.Charges.SmallestPoint));
        }

        AreaLines.RequireCountable(points, figure);
        double spacing = length / points;
        double reach = 2 * Math.Max(spacing, plan.Axes.Pitch(linesAlongX: true).Spacing);
        int start = NearestCorner(ring);
        layer.Writer.Begin(TriggerUnit.Row);
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
                layer.Writer.Expose(StrokeWriter.Run(figure, x0, y0, x1, y1, (int)(beyond - written), whole), reach, reach);
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
            double dx = (double)ring[i].X * gridFemtometres - layer.Writer.LastX;
            double dy = (double)ring[i].Y * gridFemtometres - layer.Writer.LastY;
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
