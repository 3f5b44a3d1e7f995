using PatternCompiler.Instrument;
using PatternCompiler.Limits;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>The figures, cut where needed, with the energy that any set of doses gives at their control points.</summary>
internal sealed class ScatteredField
{
    private const double SmallestCorrection = 0.05;
    private const double LargestCorrection = 20;

    // Forward energy from so far away is below 0.3 % of an edge's.
    private const double RimInRanges = 2;

    private readonly ControlPoint[] points;
    private readonly int[] firstPoint;
    private readonly double[] targets;
    private readonly double areaTarget;
    private readonly bool[] haveHeights;
    private readonly double[] energies;
    private readonly double[] baseDoses;
    private readonly double[] smallestCorrections;
    private readonly double[] physicalDoses;
    private readonly double[] ratios;
    private readonly double[] sums;
    private readonly double[] weights;
    private readonly ForwardCoupling forward;
    private readonly double forwardWeight;
    private readonly NarrowHeights narrow;
    private readonly (DensityMap Map, double Weight)[] background;

    private ScatteredField(
        List<Figure> figures,
        List<ControlPoint> points,
        int[] firstPoint,
        ForwardCoupling forward,
        double forwardWeight,
        NarrowHeights narrow,
        (DensityMap Map, double Weight)[] background,
        FigureDoses doses,
        double areaTarget)
    {
        Figures = figures;
        this.areaTarget = areaTarget;
        this.points = [.. points];
        this.firstPoint = firstPoint;
        this.forward = forward;
        this.forwardWeight = forwardWeight;
        this.narrow = narrow;
        this.background = background;
        energies = new double[points.Count];
        baseDoses = [.. figures.Select(doses.Of)];
        haveHeights = [.. figures.Select(figure => doses.HasHeight(figure))];
        smallestCorrections = [.. figures.Select(f => Math.Max(SmallestCorrection, doses.SmallestCorrectionOf(f)))];
        physicalDoses = new double[figures.Count];
        ratios = new double[points.Count];
        sums = new double[figures.Count];
        weights = new double[figures.Count];
        targets = Targets();
    }

    /// <summary>Largest error, over the energy that edges are held to, that the maps' cells add at a long straight edge.</summary>
    public double LargestMapError => background.Sum(term => term.Weight * term.Map.LargestEdgeError) / areaTarget;

    /// <summary>The figures after cutting.</summary>
    public IReadOnlyList<Figure> Figures { get; }

    /// <summary>Cuts figures, chooses control points and prepares forward coupling and density maps.</summary>
    public static ScatteredField Prepare(
        FiguresDocument document, ProximityOptions options, CancellationToken cancellation)
    {
        double gridNanometres = document.Header.GridPicometres / 1000.0;
        var doses = new FigureDoses(document.Header.Layers, options);
        SpreadFunction spread = options.Spread;
        var chargeOf = (
            options.LineDosePerAreaDoseNanometres / gridNanometres,
            options.DotChargePerAreaDoseSquareNanometres / (gridNanometres * gridNanometres));
        double target = options.Target == ProximityTarget.Edge ? options.EdgeEnergy : 2 * options.EdgeEnergy;
        List<Figure> pieces = Cut(document.Figures, options, gridNanometres, chargeOf, doses, target);

        FigureBox[] boxes = [.. pieces.Select(f => FigureBox.Of(f))];
        double range = spread.Terms[0].RangeNanometres / gridNanometres;
        var index = new FigureIndex(pieces, boxes, GaussianEnergy.Reach * range);
        var points = new List<ControlPoint>(3 * pieces.Count);
        var firstPoint = new int[pieces.Count + 1];
        for (int i = 0; i < pieces.Count; i++)
        {
            if (doses.HasHeight(pieces[i]))
            {
                // A border blurs whatever the dose is: to make up for it would dig a ditch along it.
                ControlPoints.Interior(pieces[i], points, ownForward: 1);
            }
            else if (options.Target == ProximityTarget.Edge)
            {
                ControlPoints.Edges(pieces, boxes, index, i, points);
            }
            else
            {
                ControlPoints.Interior(pieces[i], points);
            }

            firstPoint[i + 1] = points.Count;
        }

        var owner = new int[points.Count];
        for (int i = 0; i < pieces.Count; i++)
        {
            owner.AsSpan(firstPoint[i], firstPoint[i + 1] - firstPoint[i]).Fill(i);
        }

        return new ScatteredField(
            pieces,
            points,
            firstPoint,
            ForwardCoupling.Compute(pieces, boxes, index, points, owner, range, chargeOf, cancellation),
            spread.WeightOf(0),
            new NarrowHeights(pieces, boxes, index, range, chargeOf),
            Background(pieces, boxes, spread, gridNanometres, chargeOf),
            doses,
            target);
    }

    /// <summary>Computes the energy at every control point for one correction per figure.</summary>
    public void Update(double[] corrections)
    {
        for (int i = 0; i < physicalDoses.Length; i++)
        {
            physicalDoses[i] = baseDoses[i] * corrections[i];
        }

        foreach ((DensityMap map, _) in background)
        {
            map.Update(physicalDoses);
        }

        Parallel.For(0, points.Length, p =>
        {
            double energy = forwardWeight * forward.At(p, physicalDoses);
            foreach ((DensityMap map, double weight) in background)
            {
                energy += weight * map.At(points[p].X, points[p].Y);
            }

            energies[p] = energy;
        });
    }

    /// <summary>Mean energy over a figure's control points, over its target; 1 for a figure of dose zero, which has no target.</summary>
    public double MeanEnergyOverTarget(int figure)
    {
        if (baseDoses[figure] == 0)
        {
            return 1;
        }

        double sum = 0;
        for (int p = firstPoint[figure]; p < firstPoint[figure + 1]; p++)
        {
            sum += points[p].Weight * energies[p];
        }

        return sum / targets[figure];
    }

    /// <summary>
    /// Multiplies every correction by the mean of target over energy at the places that the figure's own energy reaches
    /// (the multiplicative update of W. H. Richardson, J. Opt. Soc. Am. 62, 55 (1972)). A sliver beside a larger figure so
    /// moves with its neighbours instead of running away after an energy that it hardly makes itself.
    /// </summary>
    public void Improve(double[] corrections)
    {
        for (int figure = 0; figure < Figures.Count; figure++)
        {
            double ratio = 1 / MeanEnergyOverTarget(figure);
            ratios.AsSpan(firstPoint[figure], firstPoint[figure + 1] - firstPoint[figure]).Fill(ratio);
        }

        forward.Distribute(ratios, points, sums, weights);
        for (int figure = 0; figure < corrections.Length; figure++)
        {
            if (weights[figure] > 0)
            {
                corrections[figure] = Math.Clamp(corrections[figure] * sums[figure] / weights[figure], smallestCorrections[figure], LargestCorrection);
            }
        }
    }

    /// <summary>Areas with heights that are too narrow to keep their forward electrons, and the energy in their middle over their target.</summary>
    public IEnumerable<(int Figure, double EnergyOverTarget)> TooNarrow() => narrow.Find(HasHeight, physicalDoses)
        .Select(found => (found.Figure, MeanEnergyOverTarget(found.Figure) + forwardWeight * (found.Forward - found.OfLarge) / targets[found.Figure]));

    /// <summary>True if a figure is to leave a part of the film.</summary>
    public bool HasHeight(int figure) => haveHeights[figure];

    /// <summary>Energy that a figure is held to, over that of a large area at the base dose.</summary>
    public double TargetOf(int figure) => targets[figure];

    /// <summary>Smallest correction that a figure may get.</summary>
    public double SmallestCorrectionOf(int figure) => smallestCorrections[figure];

    /// <summary>Length of edge and of lines that a figure's target speaks for, in grid steps.</summary>
    public double LengthOf(int figure)
    {
        double sum = 0;
        for (int p = firstPoint[figure]; p < firstPoint[figure + 1]; p++)
        {
            sum += points[p].Length;
        }

        return sum;
    }

    private static List<Figure> Cut(
        IReadOnlyList<Figure> figures,
        ProximityOptions options,
        double gridNanometres,
        (double Line, double Dot) chargeOf,
        FigureDoses doses,
        double target)
    {
        FigureBox[] boxes = [.. figures.Select(f => FigureBox.Of(f))];
        (DensityMap Map, double Weight)[] maps = Background(figures, boxes, options.Spread, gridNanometres, chargeOf);
        double[] uncorrected = [.. figures.Select(doses.Of)];
        foreach ((DensityMap map, _) in maps)
        {
            map.Update(uncorrected);
        }

        var pieces = new List<Figure>(figures.Count);
        var splitter = new FigureSplitter(
            (x, y) => maps.Sum(m => m.Weight * m.Map.At(x, y)),
            // A figure written at twice the dose bears twice the change.
            figure => 2 * options.Tolerance * (doses.HasHeight(figure) ? 1 : target) * doses.Of(figure),
            (int)Math.Min(int.MaxValue, options.SmallestPieceNanometres / gridNanometres),
            options.SmallestPieceSquareNanometres / (gridNanometres * gridNanometres),
            chargeOf.Line,
            figure => options.Target == ProximityTarget.Edge && !doses.HasHeight(figure)
                ? RimInRanges * options.Spread.Terms[0].RangeNanometres / gridNanometres
                : double.PositiveInfinity,
            doses.Of,
            pieces,
            options.Limits.Meter(WorkKind.Pieces, figures.Count));
        foreach (Figure figure in figures)
        {
            splitter.Add(figure);
        }

        return pieces;
    }

    private static (DensityMap Map, double Weight)[] Background(
        IReadOnlyList<Figure> figures, FigureBox[] boxes, SpreadFunction spread, double gridNanometres, (double, double) chargeOf) =>
    [
        .. Enumerable.Range(1, spread.Terms.Length - 1).Select(term => (
            new DensityMap(figures, boxes, spread.Terms[term].Shape, spread.Terms[term].RangeNanometres / gridNanometres, chargeOf),
            spread.WeightOf(term))),
    ];

    // A line or dot aims at the energy that it has alone, by itself, at its own dose: that is what its base dose was
    // found with. An area aims at the energy at which the resist prints (edge) or twice as much (average); one with a height at
    // that of a large area at its own dose.
    private double[] Targets()
    {
        var result = new double[Figures.Count];
        for (int i = 0; i < result.Length; i++)
        {
            double unit = haveHeights[i] ? 1
                : Figures[i].Kind == FigureKind.Trapezoid ? areaTarget
                : forwardWeight * forward.From(firstPoint[i], i);
            result[i] = unit * baseDoses[i];
        }

        return result;
    }
}
