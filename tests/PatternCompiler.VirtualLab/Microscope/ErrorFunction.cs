namespace PatternCompiler.VirtualLab.Microscope;

/// <summary>The error function, by its series and its continued fraction (Abramowitz and Stegun, 7.1.6 and 7.1.14), to 1e-12.</summary>
public static class ErrorFunction
{
    private const double SeriesEnds = 2.2;
    private const int FractionTerms = 60;

    public static double Of(double x)
    {
        double size = Math.Abs(x);
        return size > 6 ? Math.Sign(x) : size < SeriesEnds ? Series(x) : Math.Sign(x) * (1 - Complement(size));
    }

    // 2/√π · e^(-x²) · Σ 2ⁿ·x^(2n+1) / (1·3·…·(2n+1))
    private static double Series(double x)
    {
        double term = x, sum = x;
        for (int n = 1; Math.Abs(term) > 1e-17 * Math.Abs(sum); n++)
        {
            term *= 2 * x * x / ((2 * n) + 1);
            sum += term;
        }

        return 2 / Math.Sqrt(Math.PI) * Math.Exp(-x * x) * sum;
    }

    // e^(-x²)/√π · 1/(x + (1/2)/(x + (2/2)/(x + (3/2)/(x + …))))
    private static double Complement(double x)
    {
        double fraction = x;
        for (int n = FractionTerms; n >= 1; n--)
        {
            fraction = x + (n / 2.0 / fraction);
        }

        return Math.Exp(-x * x) / Math.Sqrt(Math.PI) / fraction;
    }
}
