namespace PatternCompiler.Calibration.Settling;

/// <summary>
/// One or two exponentials of readings, and the hysteresis. Parameters: the logarithm of the time constant that leads; how far the other
/// is from it, as ln(slow/fast − 1), so that one stays the slower and no two sets of parameters mean the same; the slow part; the hysteresis.
/// </summary>
/// <remarks>The slow constant leads in the second place, or, if the fast one does, in the first, with the distance in the other.</remarks>
/// <param name="readings">The readings.</param>
/// <param name="hasPlay">Some were compared from both sides.</param>
/// <param name="parts">One or two.</param>
internal sealed class ResponseModel(IReadOnlyList<SettlingReading> readings, bool hasPlay, int parts)
{
    // Below it a closed form loses its digits, and the first terms of the series hold.
    private const double Short = 1e-4;

    /// <summary>The fast time constant leads.</summary>
    public bool IsLedByFast { get; init; }

    /// <summary>The parameter of two time constants.</summary>
    public static double Apart(double fast, double slow) => Math.Log(slow / fast - 1);

    /// <summary>ln(1 + e^x): the logarithm of the slow time constant over the fast one.</summary>
    public static double Softplus(double x) => x > 40 ? x : Math.Log(1 + Math.Exp(x));

    /// <summary>Sum of the squares of what it misses.</summary>
    public double Squares(double[] parameters)
    {
        double[] residuals = new double[readings.Count], slopes = new double[readings.Count * parameters.Length];
        return Evaluate(parameters, residuals, slopes) ? residuals.Sum(residual => residual * residual) : double.NaN;
    }

    /// <summary>What it misses of each reading, and how that changes with each parameter.</summary>
    public bool Evaluate(ReadOnlySpan<double> p, Span<double> residuals, Span<double> slopes)
    {
        int count = p.Length;
        (double logFast, double logSlow, double share) = (p[0], 0, 0);
        if (parts == 2)
        {
            double apart = p[IsLedByFast ? 1 : 0];
            share = 1 / (1 + Math.Exp(-apart));
            (logFast, logSlow) = IsLedByFast ? (p[0], p[0] + Softplus(apart)) : (p[1] - Softplus(apart), p[1]);
        }

        (double fast, double slow) = (Math.Exp(logFast), Math.Exp(logSlow));
        double part = parts == 2 ? p[2] : 0;
        for (int i = 0; i < residuals.Length; i++)
        {
            SettlingReading reading = readings[i];
            double early = Mean(reading, fast, out double earlySlope);
            double byFast = -reading.Jump * (1 - part) * earlySlope;
            (double late, double lateSlope) = (0, 0);
            slopes[i * count] = byFast;
            if (parts == 2)
            {
                late = Mean(reading, slow, out lateSlope);
                double bySlow = -reading.Jump * part * lateSlope;
                (slopes[i * count], slopes[i * count + 1]) = IsLedByFast ? (byFast + bySlow, share * bySlow) : (-share * byFast, byFast + bySlow);
                slopes[i * count + 2] = -reading.Jump * (late - early);
            }

            residuals[i] = reading.Displacement - reading.Jump * ((1 - part) * early + part * late);
            if (hasPlay)
            {
                residuals[i] -= reading.IsOfBothSides ? p[count - 1] : 0;
                slopes[i * count + count - 1] = reading.IsOfBothSides ? -1 : 0;
            }
        }

        return double.IsFinite(fast) && double.IsFinite(slow) && slow > 0;
    }

    /// <summary>
    /// Mean over all visits of what is left of a jump, and its derivative by ln τ. One visit is e^(−t/τ), averaged over it. With jumps to
    /// and fro every T, so that q = e^(−T/τ) of each is left at the next, visit k has (1 + q^(2k−1))/(1 + q) of that: the sum of what all jumps before
    /// have left, their signs changing.
    /// </summary>
    public static double Mean(in SettlingReading reading, double constant, out double slope)
    {
        if (!(constant > 0))
        {
            slope = 0;
            return 0;
        }

        (double gone, double x) = (reading.Wait / constant, reading.Visit / constant);
        double at = Math.Exp(-gone), over = Math.Exp(-x);
        double mean = x < Short ? 1 - x / 2 : (1 - over) / x;
        double spread = x < Short ? x / 2 : (1 - over * (1 + x)) / x;
        slope = at == 0 ? 0 : at * (gone * mean + spread);
        if (reading.Visits == 1)
        {
            return at * mean;
        }

        double share = ShareOfVisits(gone + x, reading.Visits, out double shareSlope);
        slope = slope * share + at * mean * shareSlope;
        return at * mean * share;
    }

    private static double ShareOfVisits(double turns, int visits, out double slope)
    {
        double q = Math.Exp(-turns);
        (double sum, double steep, double power) = (0, 0, q);
        for (int k = 1; k <= visits && power > 0; k++)
        {
            (sum, steep, power) = (sum + power, steep + (2 * k - 1) * power, power * q * q);
        }

        // Of q^n the derivative by ln τ is n·q^n·T/τ.
        (sum, steep) = (sum / visits, steep / visits);
        slope = turns * (steep - q * (1 + sum) / (1 + q)) / (1 + q);
        return (1 + sum) / (1 + q);
    }
}
