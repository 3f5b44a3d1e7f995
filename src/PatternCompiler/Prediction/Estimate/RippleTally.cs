using System.IO.Hashing;
using System.Runtime.InteropServices;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// The ripple patterns seen along one axis. The tenth of all line length that has the least charge per length does not
/// count: the thin rests of figures are written with few points on purpose, and their ripple drowns in the dose of the
/// lines beside them.
/// </summary>
internal sealed class RippleTally(double deviation)
{
    private const int MostProbes = 2048;
    private const int BinsPerOctave = 8;
    private const double ThinPart = 0.1;

    private readonly Dictionary<ulong, Pattern> patterns = [];
    private readonly SortedDictionary<int, double> lengthByDensity = [];
    private long probes;
    private double smallest = double.PositiveInfinity;
    private double largest;

    /// <summary>Adds parallel lines, or the points of a line.</summary>
    /// <param name="positions">Ascending places, in nanometres; 2 or more.</param>
    /// <param name="charges">Charge of each, per length for lines.</param>
    /// <param name="length">Length that they stand for, in any unit.</param>
    public void See(ReadOnlySpan<double> positions, ReadOnlySpan<double> charges, double length)
    {
        double charge = 0;
        for (int i = 1; i < positions.Length; i++)
        {
            smallest = Math.Min(smallest, positions[i] - positions[i - 1]);
            largest = Math.Max(largest, positions[i] - positions[i - 1]);
            charge += charges[i];
        }

        double density = charge / (positions[^1] - positions[0]);
        int bin = density > 0 ? (int)Math.Floor(Math.Log2(density) * BinsPerOctave) : int.MinValue;
        lengthByDensity[bin] = lengthByDensity.GetValueOrDefault(bin) + length;

        // Most bands repeat one of few patterns; summing up a pattern once tells all there is to know.
        ulong key = PatternOf(positions, charges);
        if (patterns.TryGetValue(key, out Pattern known))
        {
            patterns[key] = known with { Density = Math.Max(known.Density, density) };
        }
        else if (++probes <= MostProbes || long.IsPow2(probes))
        {
            double pitch = (positions[^1] - positions[0]) / (positions.Length - 1);
            patterns.Add(key, new Pattern(Ripple.OfLines(positions, charges, deviation), pitch, density));
        }
    }

    /// <summary>What all that was seen comes to.</summary>
    public SpacingEstimate ToEstimate()
    {
        if (!(largest > 0))
        {
            return new SpacingEstimate(0, 0, 0, 0);
        }

        double least = LeastDensity();
        double worst = 0;
        double worstPitch = 0;
        foreach (Pattern pattern in patterns.Values)
        {
            if (pattern.Density >= least && (pattern.Ripple > worst || worstPitch == 0))
            {
                (worst, worstPitch) = (pattern.Ripple, pattern.Pitch);
            }
        }

        return new SpacingEstimate(smallest, largest, worst, worstPitch);
    }

    private double LeastDensity()
    {
        double below = ThinPart * lengthByDensity.Values.Sum();
        foreach ((int bin, double length) in lengthByDensity)
        {
            below -= length;
            if (below < 0)
            {
                return Math.Pow(2, (double)bin / BinsPerOctave);
            }
        }

        return 0;
    }

    /// <summary>Equal for bands that differ in place and in charge as a whole only, to 1e-6 nm and 1e-9 of the charge.</summary>
    private static ulong PatternOf(ReadOnlySpan<double> positions, ReadOnlySpan<double> charges)
    {
        var pattern = new long[2 * positions.Length];
        for (int i = 0; i < positions.Length; i++)
        {
            pattern[i] = (long)Math.Round((positions[i] - positions[0]) * 1e6);
            pattern[positions.Length + i] = (long)Math.Round(charges[i] / charges[0] * 1e9);
        }

        return XxHash3.HashToUInt64(MemoryMarshal.AsBytes<long>(pattern));
    }

    private readonly record struct Pattern(double Ripple, double Pitch, double Density);
}
