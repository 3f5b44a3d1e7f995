using System.Collections.Immutable;

namespace PatternCompiler.Instrument;

/// <summary>
/// How the energy of one electron beam position spreads in the resist: a forward term and any number of wider ones,
/// normalised so that a uniformly exposed plane at dose 1 has energy 1
/// (T. H. P. Chang, J. Vac. Sci. Technol. 12, 1271 (1975)).
/// </summary>
/// <param name="Terms">Forward term first, its ratio 1.</param>
public sealed record SpreadFunction(ImmutableArray<SpreadTerm> Terms)
{
    /// <summary>Full width at half maximum of a Gaussian over its 1/e radius: 2·√(ln 2).</summary>
    public const double HalfMaximumWidthPerRange = 1.6651092223153956;

    /// <summary>Full width at half maximum of a Gaussian over its standard deviation: 2·√(2·ln 2).</summary>
    internal const double HalfMaximumWidthPerDeviation = 2.3548200450309493;

    /// <summary>Forward and backscattered Gaussians with 1/e radii α and β and energy ratio η.</summary>
    public static SpreadFunction TwoGaussian(double forwardNanometres, double backscatterNanometres, double ratio) => new(
    [
        new SpreadTerm(SpreadShape.Gaussian, forwardNanometres, 1),
        new SpreadTerm(SpreadShape.Gaussian, backscatterNanometres, ratio),
    ]);

    /// <summary>Part of the total energy that a term holds.</summary>
    public double WeightOf(int term) => Terms[term].Ratio / TotalRatio;

    /// <summary>1 + η (+ ν …).</summary>
    public double TotalRatio => Terms.Sum(t => t.Ratio);

    /// <summary>The function as a beam of finite spot makes it: a Gaussian forward term widens in quadrature.</summary>
    /// <param name="spotNanometres">Spot, full width at half maximum.</param>
    public SpreadFunction WithSpot(double spotNanometres)
    {
        double spotRange = spotNanometres / HalfMaximumWidthPerRange;
        return new SpreadFunction(
        [
            .. Terms.Select(t => t.Shape == SpreadShape.Gaussian
                ? t with { RangeNanometres = Math.Sqrt(t.RangeNanometres * t.RangeNanometres + spotRange * spotRange) }
                : t),
        ]);
    }

    /// <summary>
    /// The function as a beam far out of focus makes it: every term counts as the Gaussian of its own variance, a² / 2 or 3·g² along
    /// each axis, with that of the spot added.
    /// </summary>
    /// <param name="spotNanometres">Spot, full width at half maximum.</param>
    internal SpreadFunction OutOfFocus(double spotNanometres) => new SpreadFunction(
    [
        .. Terms.Select(t => t.Shape == SpreadShape.Gaussian ? t : t with { Shape = SpreadShape.Gaussian, RangeNanometres = Math.Sqrt(6) * t.RangeNanometres }),
    ]).WithSpot(spotNanometres);
}

/// <summary>Radial form of one part of the deposited energy.</summary>
public enum SpreadShape
{
    /// <summary>exp(−r²/a²)/(π·a²); a is the 1/e radius, √2 times the standard deviation.</summary>
    Gaussian,

    /// <summary>exp(−r/g)/(2π·g²).</summary>
    Exponential,
}

/// <summary>One part of the deposited energy.</summary>
/// <param name="Shape">Radial form.</param>
/// <param name="RangeNanometres">a or g of the form.</param>
/// <param name="Ratio">Its energy over the energy of the first (forward) term, whose own ratio is 1.</param>
public readonly record struct SpreadTerm(SpreadShape Shape, double RangeNanometres, double Ratio);
