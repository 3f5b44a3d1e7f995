using System.Collections.Immutable;
using MathNet.Numerics;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>
/// A feature of a dose test as drawn, alone on the sample: the energy along a line through its middle. With
/// G(a) = (erf((x₂ − x)/a) − erf((x₁ − x)/a))/2 for each exposed strip from x₁ to x₂ and each Gaussian of range a, and erf(L/2a)
/// for its length L, the middle of a long bar of width w sees (erf(w/2α) + η·erf(w/2β))/(1 + η) of the dose, its edge
/// (erf(w/α) + η·erf(w/β))/(2·(1 + η)).
/// </summary>
/// <param name="Kind">What it is.</param>
/// <param name="DrawnNanometres">Side of the square, width of the bar or gap.</param>
/// <param name="LengthNanometres">Length of bar or gap, or of the area beside a gap; infinite if absent.</param>
/// <param name="Bars">Number of bars side by side; 1 for one alone, and for a gap between two areas.</param>
/// <param name="PitchNanometres">From bar to bar, where there are several.</param>
/// <param name="BesideNanometres">Width of the area to either side of a gap that is not between bars.</param>
internal sealed record DoseFeature(
    DoseFeatureKind Kind, double DrawnNanometres, double LengthNanometres, int Bars, double PitchNanometres, double BesideNanometres)
{
    // Beyond so many of the widest range nothing is exposed any more.
    private const double ReachInRanges = 8;
    private const int MostSteps = 100;
    private const double SettledNanometres = 1e-7;

    /// <summary>Short name for tables and plots.</summary>
    public string Name => Kind switch
    {
        DoseFeatureKind.Square => $"square {Text(DrawnNanometres)} nm",
        DoseFeatureKind.Bar => $"bar {Text(DrawnNanometres)} nm{Crowd}",
        _ => $"gap {Text(DrawnNanometres)} nm{Crowd}",
    };

    private string Crowd => Bars == 1 ? "" : $", {Bars} bars at {Text(PitchNanometres)} nm";

    /// <summary>
    /// Exposed strips about the middle of what is measured, for edges that development moves outward by a distance: the drawing is
    /// made narrower by it.
    /// </summary>
    public ImmutableArray<(double Left, double Right)> Strips(double shrinkNanometres = 0)
    {
        (double Left, double Right)[] strips = Kind switch
        {
            DoseFeatureKind.Square => [(-DrawnNanometres / 2, DrawnNanometres / 2)],
            DoseFeatureKind.Bar => [.. Enumerable.Range(0, Bars).Select(i => (i - (Bars / 2)) * PitchNanometres).Select(at => (at - (DrawnNanometres / 2), at + (DrawnNanometres / 2)))],
            _ when Bars > 1 => [.. Enumerable.Range(0, Bars).Select(i => (i - (Bars / 2) + 0.5) * PitchNanometres).Select(at => (at - ((PitchNanometres - DrawnNanometres) / 2), at + ((PitchNanometres - DrawnNanometres) / 2)))],
            _ => [(-BesideNanometres - (DrawnNanometres / 2), -DrawnNanometres / 2), (DrawnNanometres / 2, (DrawnNanometres / 2) + BesideNanometres)],
        };
        return [.. strips.Select(strip => (strip.Left + shrinkNanometres, strip.Right - shrinkNanometres))];
    }

    /// <summary>Energy at a distance from the middle, as a part of the dose, and its slope per nanometre.</summary>
    public static (double Energy, double Slope) EnergyAt(SpreadFunction spread, ImmutableArray<(double Left, double Right)> strips, double lengthNanometres, double x)
    {
        double energy = 0;
        double slope = 0;
        for (int i = 0; i < spread.Terms.Length; i++)
        {
            foreach ((double radius, double part) in GaussianMixture.Of(spread.Terms[i].Shape))
            {
                double a = radius * spread.Terms[i].RangeNanometres;
                double along = spread.WeightOf(i) * part * SpecialFunctions.Erf(lengthNanometres / (2 * a));
                foreach ((double left, double right) in strips)
                {
                    (double u, double v) = ((left - x) / a, (right - x) / a);
                    energy += along * (SpecialFunctions.Erf(v) - SpecialFunctions.Erf(u)) / 2;
                    slope += along * (Math.Exp(-u * u) - Math.Exp(-v * v)) / (Math.Sqrt(Math.PI) * a);
                }
            }
        }

        return (energy, slope);
    }

    /// <summary>Energy at the edge of what is measured, as a part of the dose, where the drawing is made narrower.</summary>
    public double EdgeEnergy(SpreadFunction spread, double shrinkNanometres = 0) =>
        EnergyAt(spread, Strips(shrinkNanometres), Along, (DrawnNanometres / 2) + (Kind == DoseFeatureKind.Gap ? shrinkNanometres : -shrinkNanometres)).Energy;

    /// <summary>Energy in the middle, as a part of the dose.</summary>
    public double MiddleEnergy(SpreadFunction spread) => EnergyAt(spread, Strips(), Along, 0).Energy;

    /// <summary>
    /// Width from edge to edge as printed, with no move by development; null where it does not print, or runs together with its
    /// neighbours.
    /// </summary>
    /// <param name="spread">Spread with the spot.</param>
    /// <param name="level">Printing energy over the dose.</param>
    /// <param name="shrinkNanometres">How much the drawing is made narrower on every side of what is exposed.</param>
    public double? PrintedWidth(SpreadFunction spread, double level, double shrinkNanometres = 0)
    {
        ImmutableArray<(double Left, double Right)> strips = Strips(shrinkNanometres);
        bool isExposed = Kind != DoseFeatureKind.Gap;
        bool Prints(double x) => EnergyAt(spread, strips, Along, x).Energy >= level;
        if (Prints(0) != isExposed)
        {
            return null;
        }

        double width = 0;
        foreach (int side in (ReadOnlySpan<int>)[-1, 1])
        {
            double far = Furthest(spread, strips, side);
            if (Prints(far) == isExposed)
            {
                return null;
            }

            width += side * Crossing(spread, strips, level, far, isExposed);
        }

        return width;
    }

    // Newton's steps from the drawn edge, kept between the middle and the furthest place.
    private double Crossing(SpreadFunction spread, ImmutableArray<(double Left, double Right)> strips, double level, double far, bool isExposed)
    {
        double near = 0;
        double at = Math.Sign(far) * DrawnNanometres / 2;
        for (int i = 0; i < MostSteps; i++)
        {
            (double energy, double slope) = EnergyAt(spread, strips, Along, at);
            (near, far) = energy >= level == isExposed ? (at, far) : (near, at);
            double next = at + ((level - energy) / slope);
            if (!(next > Math.Min(near, far) && next < Math.Max(near, far)))
            {
                next = (near + far) / 2;
            }

            if (Math.Abs(next - at) < SettledNanometres)
            {
                return next;
            }

            at = next;
        }

        return at;
    }

    /// <summary>Length along the strips.</summary>
    private double Along => Kind == DoseFeatureKind.Square ? DrawnNanometres : LengthNanometres;

    // The middle of what comes next to one side, where the energy turns.
    private static double Furthest(SpreadFunction spread, ImmutableArray<(double Left, double Right)> strips, int side)
    {
        double[] edges = [.. strips.SelectMany(strip => (double[])[strip.Left, strip.Right]).Where(edge => edge * side > 0).OrderBy(Math.Abs)];
        return edges.Length > 1 && double.IsFinite(edges[1])
            ? (edges[0] + edges[1]) / 2
            : edges[0] + (side * ReachInRanges * spread.Terms.Max(term => term.RangeNanometres));
    }

    private static string Text(double value) => NumberText.Format(Math.Round(value, 1, MidpointRounding.AwayFromZero));
}
