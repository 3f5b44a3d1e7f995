using System.Collections.Immutable;
using PatternCompiler.Instrument;

namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>
/// Looks for one change at a time that lets all layers be written: other spacings, another current, a larger spot, a smaller field.
/// Every value is tried before it is named, in steps of two digits.
/// </summary>
internal sealed class SpacingRemedy
{
    private const int Decades = 6;
    private const int SpotDecades = 2;
    private const int FieldDecades = 3;

    private readonly ImmutableArray<SpacingCase> given;
    private readonly ImmutableArray<SpacingCase> open;
    private readonly SpacingLimits limits;
    private readonly CodeLattice lattice;

    /// <param name="cases">The layers.</param>
    /// <param name="limits">What bounds the choice.</param>
    /// <param name="lattice">Where codes stand.</param>
    public SpacingRemedy(ImmutableArray<SpacingCase> cases, SpacingLimits limits, CodeLattice lattice)
    {
        given = cases;
        open = [.. cases.Select(layer => layer.Open)];
        this.limits = limits;
        this.lattice = lattice;
    }

    /// <summary>What is chosen for a layer if all spacings are to be chosen; null if some layer has none then.</summary>
    public SpacingEffect? OpenSpacing(string layer) =>
        Fits(keepsGiven: false, limits, lattice) ? open.First(each => each.Layer == layer).Find(limits, lattice).Effect : null;

    /// <summary>The largest lower current at which every layer has a spacing, those that are given kept or all to be chosen; null for none.</summary>
    public double? LowerCurrent(bool keepsGiven) =>
        First(Falling(limits.LargestCurrentAmperes, Decades), amperes => Fits(keepsGiven, WithLargestCurrent(amperes), lattice));

    /// <summary>The smallest higher current at which every layer has a spacing; null for none.</summary>
    public double? HigherCurrent(bool keepsGiven) =>
        First(Rising(limits.SmallestCurrentAmperes, Decades), amperes => Fits(keepsGiven, WithSmallestCurrent(amperes), lattice));

    /// <summary>The smallest larger spot, full width at half maximum in nanometres, at which every layer has a spacing; null for none.</summary>
    public double? LargerSpot() => First(Rising(limits.SpotNanometres, SpotDecades), spot => Fits(true, limits.WithSpot(spot), lattice));

    /// <summary>The largest part of the field, below 1, at which every layer has a spacing; null for none.</summary>
    public double? SmallerField() => First(Falling(1, FieldDecades), part => Fits(true, limits.WithField(part), new CodeLattice(Part(lattice.X, part), Part(lattice.Y, part))));

    /// <summary>
    /// The largest current, no higher than it is, at which no regular point is below the shortest dwell, spacings as they are given; null if one is open.
    /// </summary>
    public double? CurrentForGiven()
    {
        if (given.Any(layer => layer.IsOpen))
        {
            return null;
        }

        double shortest = limits.ShortestDwellTicks / limits.ClockHertz;
        return limits.LargestCurrentAmperes
            * given.Select(layer => layer.Given(limits, lattice).ShortestDwellSeconds).Where(dwell => dwell > 0).Select(dwell => dwell / shortest).Append(1).Min();
    }

    private bool Fits(bool keepsGiven, SpacingLimits tried, CodeLattice codes) => (keepsGiven ? given : open).All(layer => layer.IsWritable(tried, codes));

    // Between two readings the current changes by as much as it does now.
    private SpacingLimits WithLargestCurrent(double amperes) =>
        limits with { LargestCurrentAmperes = amperes, SmallestCurrentAmperes = amperes * (limits.SmallestCurrentAmperes / limits.LargestCurrentAmperes) };

    private SpacingLimits WithSmallestCurrent(double amperes) =>
        limits with { SmallestCurrentAmperes = amperes, LargestCurrentAmperes = amperes * (limits.LargestCurrentAmperes / limits.SmallestCurrentAmperes) };

    private static CodeAxis Part(CodeAxis axis, double part) => new(axis.OriginFemtometres * part, axis.StepFemtometres * part);

    private static double? First(IEnumerable<double> values, Func<double, bool> fits)
    {
        foreach (double value in values)
        {
            if (fits(value))
            {
                return value;
            }
        }

        return null;
    }

    // Numbers of two digits below a value, the largest first.
    private static IEnumerable<double> Falling(double from, int decades)
    {
        int top = (int)Math.Floor(Math.Log10(from));
        for (int exponent = top; exponent > top - decades; exponent--)
        {
            for (int digits = 99; digits >= 10; digits--)
            {
                if (TwoDigits(digits, exponent) is double value && value < from)
                {
                    yield return value;
                }
            }
        }
    }

    // Numbers of two digits above a value, the smallest first.
    private static IEnumerable<double> Rising(double from, int decades)
    {
        int bottom = (int)Math.Floor(Math.Log10(from));
        for (int exponent = bottom; exponent < bottom + decades; exponent++)
        {
            for (int digits = 10; digits <= 99; digits++)
            {
                if (TwoDigits(digits, exponent) is double value && value > from)
                {
                    yield return value;
                }
            }
        }
    }

    // Through decimal text's own rounding: 5.3e-9 is the number that is read back.
    private static double TwoDigits(int digits, int exponent) => exponent > 0 ? digits * Math.Pow(10, exponent - 1) : digits / Math.Pow(10, 1 - exponent);
}
