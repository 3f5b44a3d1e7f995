namespace PatternCompiler.VirtualLab;

/// <summary>
/// Random numbers of one part of the lab, from the lab's seed and the part's name: to switch one part off, or to roll once more in
/// it, changes nothing elsewhere. The sequence is that of SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, OOPSLA 2014), the same on
/// any machine.
/// </summary>
public sealed class Dice
{
    // Above this mean, a rounded normal number stands for a Poisson one.
    private const double LargestCountedMean = 60;
    private ulong state;
    private double spare = double.NaN;

    public Dice(long seed, string part)
    {
        // FNV-1a of the name.
        ulong hash = 14695981039346656037;
        foreach (char c in part)
        {
            hash = (hash ^ c) * 1099511628211;
        }

        state = hash ^ ((ulong)seed * 0x9E3779B97F4A7C15);
        Next();
    }

    /// <summary>Evenly from 0 to 1, without 1.</summary>
    public double Unit() => (Next() >> 11) * (1.0 / (1UL << 53));

    /// <summary>Evenly between two values.</summary>
    public double Between(double low, double high) => low + ((high - low) * Unit());

    /// <summary>Evenly in the logarithm.</summary>
    public double Ratio(double low, double high) => low * Math.Pow(high / low, Unit());

    /// <summary>+1 or -1.</summary>
    public int Sign() => (Next() >> 63) == 0 ? 1 : -1;

    /// <summary>True with a probability.</summary>
    public bool Chance(double probability) => Unit() < probability;

    /// <summary>Normally distributed (G. E. P. Box and M. E. Muller, Ann. Math. Stat. 29, 610 (1958)).</summary>
    public double Normal(double mean, double deviation)
    {
        if (!double.IsNaN(spare))
        {
            (double kept, spare) = (spare, double.NaN);
            return mean + (deviation * kept);
        }

        double radius = Math.Sqrt(-2 * Math.Log(1 - Unit()));
        (double sine, double cosine) = Math.SinCos(2 * Math.PI * Unit());
        spare = radius * sine;
        return mean + (deviation * radius * cosine);
    }

    /// <summary>A number of events of a given mean.</summary>
    public int Poisson(double mean)
    {
        if (mean > LargestCountedMean)
        {
            return (int)Math.Max(0, Math.Round(Normal(mean, Math.Sqrt(mean))));
        }

        double limit = Math.Exp(-mean), product = Unit();
        int count = 0;
        while (product > limit)
        {
            product *= Unit();
            count++;
        }

        return count;
    }

    private ulong Next()
    {
        ulong z = state += 0x9E3779B97F4A7C15;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }
}
