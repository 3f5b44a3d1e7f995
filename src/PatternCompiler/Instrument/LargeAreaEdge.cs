using MathNet.Numerics;

namespace PatternCompiler.Instrument;

/// <summary>
/// The edge of an area so large that it is a half plane to scattered electrons: the energy there is half of the area's own, so
/// that a resist that prints at half of the dose prints the edge where it was drawn.
/// </summary>
internal static class LargeAreaEdge
{
    // Beyond so many of the widest range nothing of the energy is left, or all of it is there.
    private const double ReachInRanges = 12;
    private const int Halvings = 80;

    /// <summary>Energy at a distance outside the edge (inside if negative), as a part of that in the middle of the area.</summary>
    public static double EnergyAt(SpreadFunction spread, double outsideNanometres)
    {
        double sum = 0;
        for (int i = 0; i < spread.Terms.Length; i++)
        {
            SpreadTerm term = spread.Terms[i];
            foreach ((double radius, double part) in GaussianMixture.Of(term.Shape))
            {
                sum += spread.WeightOf(i) * part * SpecialFunctions.Erfc(outsideNanometres / (radius * term.RangeNanometres)) / 2;
            }
        }

        return sum;
    }

    /// <summary>How far outside its drawn place the edge prints (inside if negative); null if the area does not print at all.</summary>
    /// <param name="spread">Spread with the beam's spot.</param>
    /// <param name="printingPart">Dose at which the resist prints over the area's dose.</param>
    public static double? ShiftNanometres(SpreadFunction spread, double printingPart)
    {
        if (printingPart >= 1)
        {
            return null;
        }

        double high = ReachInRanges * spread.Terms.Max(term => term.RangeNanometres);
        double low = -high;
        for (int i = 0; i < Halvings; i++)
        {
            double middle = (low + high) / 2;
            (low, high) = EnergyAt(spread, middle) > printingPart ? (middle, high) : (low, middle);
        }

        return (low + high) / 2;
    }
}
