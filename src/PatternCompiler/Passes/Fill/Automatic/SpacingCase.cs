using System.Collections.Immutable;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>One layer that spacings are to be found for: how it is filled, what its figures ask for, and its doses.</summary>
/// <param name="Layer">Name of the layer.</param>
/// <param name="Fill">How it is filled, with the spacings that are given.</param>
/// <param name="Demand">What its figures ask for.</param>
/// <param name="Doses">Its base doses.</param>
internal sealed record SpacingCase(string Layer, LayerFill Fill, LayerDemand Demand, LayerDoses Doses)
{
    /// <summary>The same with pitch and step to be chosen.</summary>
    public SpacingCase Open => this with { Fill = Fill with { LinePitch = Spacing.Automatic, PointStep = Spacing.Automatic } };

    /// <summary>True if a spacing is to be chosen.</summary>
    public bool IsOpen => Fill.LinePitch.IsAutomatic || Fill.PointStep.IsAutomatic;

    /// <summary>The layers of a document whose figures have a dose, in its order.</summary>
    public static ImmutableArray<SpacingCase> Of(FiguresDocument input, FillOptions options, CancellationToken cancellation)
    {
        const long FemtometresPerPicometre = 1000;
        LayerFill[] fills = [.. input.Header.Layers.Select(options.LayerOf)];
        LayerDemand[] demands = Array.ConvertAll(fills, _ => new LayerDemand());
        for (int i = 0; i < input.Figures.Count; i++)
        {
            if ((i & 0xFFFF) == 0)
            {
                cancellation.ThrowIfCancellationRequested();
            }

            Figure figure = input.Figures[i];
            demands[figure.Layer].Add(figure, input.Header.GridPicometres * FemtometresPerPicometre, fills[figure.Layer].Direction);
        }

        return
        [
            .. Enumerable.Range(0, demands.Length).Where(layer => demands[layer].HighestFactor > 0)
                .Select(layer => new SpacingCase(input.Header.Layers[layer], fills[layer], demands[layer], options.DosesOf(fills[layer]))),
        ];
    }

    /// <summary>Charge of all figures, all passes together.</summary>
    public double ChargeCoulombs => Doses.Factor * (
        Doses.AreaCoulombsPerSquareMetre * Demand.WeightedSquareNanometres * 1e-18
        + Doses.LineCoulombsPerMetre * Demand.WeightedNanometres * 1e-9
        + Doses.DotCoulombs * Demand.WeightedDots);

    /// <summary>The finest spacing that meets all limits, with a reserve where there is room for one; else the pair that comes nearest.</summary>
    public SpacingOutcome Find(SpacingLimits limits, CodeLattice lattice)
    {
        SpacingOutcome reserved = Find(limits, lattice, hasReserve: true);

        // Better a spacing at the very limit than none.
        return reserved.Fits ? reserved : Find(limits, lattice, hasReserve: false);
    }

    /// <summary>True if the layer can be written: with a spacing that meets all limits where one is to be chosen, within the controller's dwells where both are given.</summary>
    public bool IsWritable(SpacingLimits limits, CodeLattice lattice)
    {
        if (IsOpen)
        {
            return Find(limits, lattice).Fits;
        }

        SpacingEffect given = Given(limits, lattice);
        return !SpacingTrial.IsAbove(given.LongestDwellSeconds, limits.LongestDwellTicks / limits.ClockHertz)
            && (given.ShortestDwellSeconds == 0 || !SpacingTrial.IsBelow(given.ShortestDwellSeconds, limits.ShortestDwellTicks / limits.ClockHertz));
    }

    /// <summary>What the spacings mean that are given; none may be open.</summary>
    public SpacingEffect Given(SpacingLimits limits, CodeLattice lattice) =>
        new SpacingTrial(limits, lattice, Fill, Demand, Doses, hasReserve: false).Try(Fill.LinePitch, Fill.PointStep);

    private SpacingOutcome Find(SpacingLimits limits, CodeLattice lattice, bool hasReserve)
    {
        var trial = new SpacingTrial(limits, lattice, Fill, Demand, Doses, hasReserve);
        var search = new SpacingSearch(trial, Fill, Demand.HasAreas);
        return new SpacingOutcome(this, trial, search, search.Find() ?? search.Widest(), hasReserve);
    }
}

/// <summary>What was found for a layer.</summary>
/// <param name="Case">The layer.</param>
/// <param name="Trial">Tells what other pairs would mean.</param>
/// <param name="Search">Tells what rules.</param>
/// <param name="Effect">The pair that was found, or the one that comes nearest.</param>
/// <param name="HasReserve">Points are longer than they must be, which leaves room to weight edges.</param>
internal sealed record SpacingOutcome(SpacingCase Case, SpacingTrial Trial, SpacingSearch Search, SpacingEffect Effect, bool HasReserve)
{
    /// <summary>True if the pair meets all limits.</summary>
    public bool Fits => Effect.Breaks == SpacingRule.None;

    /// <summary>The choice with what rules it.</summary>
    public SpacingChoice ToChoice() => new(
        Case.Layer,
        Effect,
        Case.Demand.HasAreas ? Search.RuleOf(Effect, pitch: 1, step: 0) : SpacingRule.None,
        Search.RuleOf(Effect, pitch: 0, step: 1),
        Search.Finer(Effect),
        Search.Coarser(Effect),
        Case.Demand.LowestFactor,
        Case.Demand.HighestFactor,
        HasReserve);
}
