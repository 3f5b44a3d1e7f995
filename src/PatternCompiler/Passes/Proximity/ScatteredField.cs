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

    private readonly FigureDoses doses;
    private readonly double areaTarget;

    // Of each figure: there are millions.
    private readonly float[] targets;
    private readonly float[] energies;
    private readonly float[] sums;
    private readonly float[] weights;
    private readonly float[] lengths;
    private readonly float[] physicalDoses;
    private readonly ForwardMatrix forward;
    private readonly ForwardTiles tiles;
    private readonly double forwardWeight;
    private readonly NarrowHeights narrow;
    private readonly FigureBackground[] background;

    private ScatteredField(
        IReadOnlyList<Figure> figures,
        FigurePoints points,
        ForwardMatrix forward,
        ForwardTiles tiles,
        double forwardWeight,
        NarrowHeights narrow,
        FigureBackground[] background,
        FigureDoses doses,
        float[] targets,
        double areaTarget,
        CancellationToken cancellation)
    {
        Figures = figures;
        this.targets = targets;
        this.areaTarget = areaTarget;
        this.forward = forward;
        this.tiles = tiles;
        this.forwardWeight = forwardWeight;
        this.narrow = narrow;
        this.background = background;
        this.doses = doses;
        lengths = new float[figures.Count];
        weights = new float[figures.Count];
        physicalDoses = new float[figures.Count];
        sums = new float[figures.Count];
        energies = new float[figures.Count];
        FigureChunks.ForEach(figures.Count, figure => lengths[figure] = SumLengths(figure, points), cancellation);
        forward.Distribute(figure => lengths[figure], weights);
        tiles.Distribute(figure => lengths[figure], weights, cancellation);
    }

    /// <summary>Largest error, over the energy that edges are held to, that the maps' cells add at a long straight edge.</summary>
    public double LargestMapError => background.Sum(term => term.LargestEdgeError) / areaTarget;

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
        (DensityMap Map, double Weight)[] maps = Maps(document.Figures, spread, gridNanometres, chargeOf);
        IReadOnlyList<Figure> pieces = Cut(document.Figures, maps, options, gridNanometres, chargeOf, doses, target);
        if (pieces != document.Figures)
        {
            maps = Maps(pieces, spread, gridNanometres, chargeOf);
        }

        double range = spread.Terms[0].RangeNanometres / gridNanometres;
        var index = new FigureIndex(pieces);
        var points = new FigurePoints(pieces, index, doses, options.Target);
        var tiles = new ForwardTiles(pieces, points, range, chargeOf);
        ForwardMatrix forward = new ForwardCoupling(pieces, index, tiles, range, chargeOf).Compute(points, cancellation);
        return new ScatteredField(
            pieces,
            points,
            forward,
            tiles,
            spread.WeightOf(0),
            new NarrowHeights(pieces, range, chargeOf),
            [.. maps.Select((term, i) => new FigureBackground(
                term.Map, spread.Terms[i + 1].RangeNanometres / gridNanometres, term.Weight, points, pieces.Count, cancellation))],
            doses,
            Targets(pieces, doses, target, figure => spread.WeightOf(0) * ForwardCoupling.OfItself(figure, range, chargeOf)),
            target,
            cancellation);
    }

    /// <summary>Computes the mean energy at the control points of every figure for one correction per figure.</summary>
    public void Update(float[] corrections, CancellationToken cancellation)
    {
        FigureChunks.ForEach(physicalDoses.Length, figure => physicalDoses[figure] = (float)(doses.Of(Figures[figure]) * corrections[figure]), cancellation);
        foreach (FigureBackground term in background)
        {
            term.Update(physicalDoses);
        }

        Array.Clear(energies);
        tiles.ComputeEnergies(physicalDoses, energies, cancellation);
        FigureChunks.ForEach(
            energies.Length,
            figure =>
            {
                double energy = forwardWeight * (energies[figure] + forward.At(figure, physicalDoses));
                foreach (FigureBackground term in background)
                {
                    energy += term.Of(figure);
                }

                energies[figure] = (float)energy;
            },
            cancellation);
    }

    /// <summary>Mean energy over a figure's control points, over its target; 1 for a figure of dose zero, which has no target.</summary>
    public double MeanEnergyOverTarget(int figure) => targets[figure] == 0 ? 1 : (double)energies[figure] / targets[figure];

    /// <summary>
    /// Every correction times the mean of target over energy at the places that the figure's own energy reaches
    /// (the multiplicative update of W. H. Richardson, J. Opt. Soc. Am. 62, 55 (1972)). A sliver beside a larger figure so
    /// moves with its neighbours instead of running away after an energy that it hardly makes itself.
    /// </summary>
    /// <returns>The better corrections, until the next call of this.</returns>
    public float[] Improve(float[] corrections, CancellationToken cancellation)
    {
        float Missing(int figure) => (float)(lengths[figure] / MeanEnergyOverTarget(figure));
        forward.Distribute(Missing, sums);
        tiles.Distribute(Missing, sums, cancellation);
        FigureChunks.ForEach(
            corrections.Length,
            figure => sums[figure] = (float)(weights[figure] > 0 ? Bounded(figure, corrections[figure] * sums[figure] / weights[figure]) : corrections[figure]),
            cancellation);
        return sums;
    }

    /// <summary>The nearest correction that a figure may get.</summary>
    public double Bounded(int figure, double correction) => Math.Clamp(correction, SmallestCorrectionOf(figure), LargestCorrection);

    /// <summary>Areas with heights that are too narrow to keep their forward electrons, and the energy in their middle over their target.</summary>
    public IEnumerable<(int Figure, double EnergyOverTarget)> TooNarrow() => narrow.Find(HasHeight, physicalDoses)
        .Select(found => (found.Figure, MeanEnergyOverTarget(found.Figure) + forwardWeight * (found.Forward - found.OfLarge) / targets[found.Figure]));

    /// <summary>True if a figure is to leave a part of the film.</summary>
    public bool HasHeight(int figure) => doses.HasHeight(Figures[figure]);

    /// <summary>Energy that a figure is held to, over that of a large area at the base dose.</summary>
    public double TargetOf(int figure) => targets[figure];

    /// <summary>Smallest correction that a figure may get.</summary>
    public double SmallestCorrectionOf(int figure) => Math.Max(SmallestCorrection, doses.SmallestCorrectionOf(Figures[figure]));

    /// <summary>Length of edge and of lines that a figure's target speaks for, in grid steps.</summary>
    public double LengthOf(int figure) => lengths[figure];

    private static float SumLengths(int figure, FigurePoints points)
    {
        Span<ControlPoint> places = stackalloc ControlPoint[ControlPoints.Most];
        double sum = 0;
        foreach (ControlPoint place in places[..points.Of(figure, places)])
        {
            sum += place.Length;
        }

        return (float)sum;
    }

    // The same list if nothing is cut.
    private static IReadOnlyList<Figure> Cut(
        IReadOnlyList<Figure> figures,
        (DensityMap Map, double Weight)[] maps,
        ProximityOptions options,
        double gridNanometres,
        (double Line, double Dot) chargeOf,
        FigureDoses doses,
        double target)
    {
        float[] uncorrected = [.. figures.Select(figure => (float)doses.Of(figure))];
        foreach ((DensityMap map, _) in maps)
        {
            map.Update(uncorrected);
        }

        var ofOne = new List<Figure>();
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
            ofOne,
            options.Limits.Meter(WorkKind.Pieces, figures.Count));
        List<Figure>? pieces = null;
        for (int i = 0; i < figures.Count; i++)
        {
            ofOne.Clear();
            splitter.Add(figures[i]);
            if (pieces is null && ofOne.Count > 1)
            {
                pieces = [.. figures.Take(i)];
            }

            pieces?.AddRange(ofOne);
        }

        return pieces ?? figures;
    }

    private static (DensityMap Map, double Weight)[] Maps(
        IReadOnlyList<Figure> figures, SpreadFunction spread, double gridNanometres, (double, double) chargeOf) =>
    [
        .. Enumerable.Range(1, spread.Terms.Length - 1).Select(term => (
            new DensityMap(figures, spread.Terms[term].Shape, spread.Terms[term].RangeNanometres / gridNanometres, chargeOf),
            spread.WeightOf(term))),
    ];

    // A line or dot aims at the energy that it has alone, by itself, at its own dose: that is what its base dose was
    // found with. An area aims at the energy at which the resist prints (edge) or twice as much (average); one with a height at
    // that of a large area at its own dose.
    private static float[] Targets(IReadOnlyList<Figure> figures, FigureDoses doses, double areaTarget, Func<Figure, double> alone)
    {
        var result = new float[figures.Count];
        for (int i = 0; i < result.Length; i++)
        {
            Figure figure = figures[i];
            double unit = doses.HasHeight(figure) ? 1
                : figure.Kind == FigureKind.Trapezoid ? areaTarget
                : alone(figure);
            result[i] = (float)(unit * doses.Of(figure));
        }

        return result;
    }
}
