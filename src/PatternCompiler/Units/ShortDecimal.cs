namespace PatternCompiler.Units;

/// <summary>Numbers of three significant digits that keep to a bound: what a remedy names must not miss it by rounding.</summary>
internal static class ShortDecimal
{
    // A bound that is such a number itself, but for the rounding of the arithmetic that led to it, is that number: 250.00000000000003 is 250, not 251.
    private const double RoundingSlack = 1e-12;

    /// <summary>The largest such number that is no larger.</summary>
    public static double Down(double value) => Rounded(value * (1 + RoundingSlack), Math.Floor);

    /// <summary>The smallest such number that is no smaller.</summary>
    public static double Up(double value) => Rounded(value * (1 - RoundingSlack), Math.Ceiling);

    private static double Rounded(double value, Func<double, double> rounding)
    {
        if (value == 0)
        {
            return 0;
        }

        // Scaling up by a whole power of ten keeps the result a short decimal.
        int exponent = 2 - (int)Math.Floor(Math.Log10(Math.Abs(value)));
        double scale = Math.Pow(10, Math.Abs(exponent));
        return exponent >= 0 ? rounding(value * scale) / scale : rounding(value / scale) * scale;
    }
}
