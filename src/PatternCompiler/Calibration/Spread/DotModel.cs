namespace PatternCompiler.Calibration.Spread;

/// <summary>
/// Radii of dots by a two-Gaussian spread: with f(r) = exp(−r²/a²)/a² + η·exp(−r²/b²)/b² a dot of charge Q clears out to where
/// ln(Q) = c − ln(f(r)). Parameters are ln(a), ln(b), ln(η) and c.
/// </summary>
internal sealed class DotModel(IReadOnlyList<double> charges, IReadOnlyList<double> radii)
{
    private const int MostSteps = 60;

    // Newton's steps square the error: after one this short nothing is left of it.
    private const double Settled = 1e-7;
    private readonly double[] logCharges = [.. charges.Select(charge => Math.Log(charge))];
    private readonly double[] logRadii = [.. radii.Select(radius => Math.Log(radius))];

    /// <summary>Natural logarithm of the unnormalised spread, without underflow at large radii.</summary>
    public static double LogSpread(double radius, double forward, double backscatter, double ratio) =>
        Spread(radius, forward, backscatter, ratio).Logarithm;

    /// <summary>Change of ln(charge) at a radius with one parameter.</summary>
    public static double LogChargeSlope(double r, int parameter, double a, double b, double ratio)
    {
        (_, double far) = Spread(r, a, b, ratio);
        return parameter switch
        {
            0 => -(1 - far) * (2 * r * r / (a * a) - 2),
            1 => -far * (2 * r * r / (b * b) - 2),
            2 => -far,
            _ => 1,
        };
    }

    /// <summary>Change of ln(charge) with ln(radius).</summary>
    public static double SlopeAt(double r, double a, double b, double ratio) => SlopeAtPart(r, Spread(r, a, b, ratio).Far, a, b);

    /// <summary>The mean of ln(charge) + ln(spread) over the dots, lowered where a dot would clear nothing at all.</summary>
    public double ThresholdFor(double a, double b, double ratio)
    {
        double sum = 0;
        for (int i = 0; i < logCharges.Length; i++)
        {
            sum += logCharges[i] + LogSpread(radii[i], a, b, ratio);
        }

        const double Margin = 1e-3;
        return Math.Min(sum / logCharges.Length, logCharges.Min() + LogSpread(0, a, b, ratio) - Margin);
    }

    /// <summary>About the sum of squared residuals: each is taken along the slope at the measured radius.</summary>
    public double RoughSquares(ReadOnlySpan<double> p)
    {
        double sum = 0;
        (double a, double b, double ratio) = (Math.Exp(p[0]), Math.Exp(p[1]), Math.Exp(p[2]));
        for (int i = 0; i < logRadii.Length; i++)
        {
            (double logSpread, double far) = Spread(radii[i], a, b, ratio);
            double residual = (p[3] - logSpread - logCharges[i]) / SlopeAtPart(radii[i], far, a, b);
            sum += residual * residual;
        }

        return double.IsFinite(sum) ? sum : double.MaxValue;
    }

    /// <summary>Measured minus modelled ln(radius) of every dot, with slopes in closed form.</summary>
    public bool Evaluate(ReadOnlySpan<double> p, Span<double> residuals, Span<double> slopes)
    {
        (double a, double b, double ratio) = (Math.Exp(p[0]), Math.Exp(p[1]), Math.Exp(p[2]));
        double most = -LogSpread(0, a, b, ratio);
        for (int i = 0; i < residuals.Length; i++)
        {
            double wanted = logCharges[i] - p[3];
            if (!(wanted > most))
            {
                return false;
            }

            double modelled = LogRadius(logRadii[i], wanted, a, b, ratio);
            double r = Math.Exp(modelled);
            (_, double far) = Spread(r, a, b, ratio);
            double slope = SlopeAtPart(r, far, a, b);
            if (!double.IsFinite(modelled) || !(slope > 0))
            {
                return false;
            }

            residuals[i] = logRadii[i] - modelled;
            Span<double> row = slopes.Slice(i * SpreadFitter.ParameterCount, SpreadFitter.ParameterCount);
            row[0] = -(1 - far) * (2 * r * r / (a * a) - 2) / slope;
            row[1] = -far * (2 * r * r / (b * b) - 2) / slope;
            row[2] = -far / slope;
            row[3] = 1 / slope;
        }

        return true;
    }

    // Newton's steps on ln(r), kept between a radius too small and one too large: ln(charge) grows with ln(r).
    private static double LogRadius(double start, double wanted, double a, double b, double ratio)
    {
        double low = double.NegativeInfinity;
        double high = double.PositiveInfinity;
        double at = start;
        for (int step = 0; step < MostSteps; step++)
        {
            double r = Math.Exp(at);
            (double logSpread, double far) = Spread(r, a, b, ratio);
            double excess = -logSpread - wanted;
            (low, high) = excess < 0 ? (at, high) : (low, at);
            double next = at + Math.Clamp(-excess / SlopeAtPart(r, far, a, b), -3, 3);
            if (!(next > low && next < high))
            {
                next = double.IsFinite(low) && double.IsFinite(high) ? (low + high) / 2 : at + (excess < 0 ? 1 : -1);
            }

            if (Math.Abs(next - at) <= Settled * (1 + Math.Abs(at)))
            {
                return next;
            }

            at = next;
        }

        return at;
    }

    // Logarithm of the unnormalised spread, and the part of it that is backscattered.
    private static (double Logarithm, double Far) Spread(double r, double a, double b, double ratio)
    {
        (double near, double distant) = Logarithms(r, a, b, ratio);
        double smaller = Math.Exp(-Math.Abs(near - distant));
        return (Math.Max(near, distant) + Math.Log(1 + smaller), (near > distant ? smaller : 1) / (1 + smaller));
    }

    private static double SlopeAtPart(double r, double far, double a, double b) => 2 * r * r * ((1 - far) / (a * a) + far / (b * b));

    private static (double Near, double Far) Logarithms(double radius, double forward, double backscatter, double ratio) => (
        -radius * radius / (forward * forward) - 2 * Math.Log(forward),
        -radius * radius / (backscatter * backscatter) - 2 * Math.Log(backscatter) + Math.Log(ratio));
}
