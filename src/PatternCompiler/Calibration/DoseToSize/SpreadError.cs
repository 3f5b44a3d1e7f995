using System.Collections.Immutable;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>
/// How far a spread may be off: every range, and every ratio but the forward term's 1, by a relative error of its own, independent
/// of the others. What a reading tells moves with each of them.
/// </summary>
internal sealed class SpreadError
{
    private const double Step = 1e-3;
    private readonly double relative;
    private readonly ImmutableArray<(SpreadFunction Less, SpreadFunction More)> neighbours;

    /// <summary>For a spread.</summary>
    /// <param name="spread">As it is stated.</param>
    /// <param name="relative">Standard error of every range and ratio, as a part of it.</param>
    public SpreadError(SpreadFunction spread, double relative)
    {
        this.relative = relative;
        neighbours = relative == 0 ? [] :
        [
            .. Enumerable.Range(0, spread.Terms.Length).Select(i => Around(spread, i, (term, factor) => term with { RangeNanometres = factor * term.RangeNanometres })),
            .. Enumerable.Range(1, spread.Terms.Length - 1).Select(i => Around(spread, i, (term, factor) => term with { Ratio = factor * term.Ratio })),
        ];
    }

    /// <summary>Number of ranges and ratios that may be off.</summary>
    public int Count => neighbours.Length;

    /// <summary>How a value changes with a standard error of each range and ratio, by central differences.</summary>
    public double[] Slopes(Func<SpreadFunction, double> value) =>
        [.. neighbours.Select(pair => relative * (value(pair.More) - value(pair.Less)) / (2 * Step))];

    private static (SpreadFunction Less, SpreadFunction More) Around(SpreadFunction spread, int term, Func<SpreadTerm, double, SpreadTerm> scaled)
    {
        SpreadFunction With(double factor) => new(spread.Terms.SetItem(term, scaled(spread.Terms[term], factor)));
        return (With(1 - Step), With(1 + Step));
    }
}
