namespace PatternCompiler.Geometry.Curves;

/// <summary>
/// Circular functions that give the same bits on every machine. The runtime's own call the platform's mathematics
/// library, whose last bit differs between systems and could move a vertex by one grid step; these use only additions,
/// multiplications, divisions and square roots, which IEEE 754 defines exactly. Good to about one unit in the last place.
/// </summary>
internal static class Trigonometry
{
    // π/2 in two parts: the upper part has trailing zero bits, so that a multiple up to 2^20 times it is exact.
    private const double HalfPiUpper = 1.5707963267341256;
    private const double HalfPiLower = 6.077100506506192e-11;
    private const double LargestRadians = 1e6;

    /// <summary>Sine and cosine of an angle in radians, of magnitude 1,000,000 at most.</summary>
    public static (double Sin, double Cos) SinCos(double radians)
    {
        if (!(Math.Abs(radians) <= LargestRadians))
        {
            throw new ArgumentOutOfRangeException(nameof(radians), radians, "An angle is finite and below 1,000,000 rad.");
        }

        double quarters = Math.Round(radians * (2 / Math.PI));
        double rest = radians - (quarters * HalfPiUpper) - (quarters * HalfPiLower);
        return Turn((long)quarters, rest);
    }

    /// <summary>Sine and cosine of a finite angle in degrees; exact at every whole quarter turn.</summary>
    public static (double Sin, double Cos) SinCosDegrees(double degrees)
    {
        if (!double.IsFinite(degrees))
        {
            throw new ArgumentOutOfRangeException(nameof(degrees), degrees, "An angle is finite.");
        }

        double turn = Math.IEEERemainder(degrees, 360);
        double quarters = Math.Round(turn / 90);
        return Turn((long)quarters, (turn - (quarters * 90)) * (Math.PI / 180));
    }

    /// <summary>Angle whose tangent is <paramref name="tangent"/>, within ±π/2.</summary>
    public static double Atan(double tangent)
    {
        double size = Math.Abs(tangent);
        double angle = size > 1 ? (Math.PI / 2) - AtanUpToOne(1 / size) : AtanUpToOne(size);
        return tangent < 0 ? -angle : angle;
    }

    /// <summary>Angle of the vector (x, y) from the x axis, within ±π; 0 for the zero vector.</summary>
    public static double Atan2(double y, double x)
    {
        if (x == 0 && y == 0)
        {
            return 0;
        }

        double angle = Math.Abs(x) >= Math.Abs(y)
            ? Atan(Math.Abs(y) / Math.Abs(x))
            : (Math.PI / 2) - Atan(Math.Abs(x) / Math.Abs(y));
        angle = x < 0 ? Math.PI - angle : angle;
        return y < 0 ? -angle : angle;
    }

    /// <summary>Angle whose sine is <paramref name="sine"/> (0 to 1), within 0 to π/2.</summary>
    public static double Asin(double sine) => Atan2(sine, Math.Sqrt((1 - sine) * (1 + sine)));

    private static (double Sin, double Cos) Turn(long quarters, double rest)
    {
        double sin = SinUpToEighthTurn(rest);
        double cos = CosUpToEighthTurn(rest);
        return (quarters & 3) switch
        {
            0 => (sin, cos),
            1 => (cos, -sin),
            2 => (-sin, -cos),
            _ => (-cos, sin),
        };
    }

    // Taylor series; for |x| ≤ π/4 the first term left out is below half a unit in the last place.
    private static double SinUpToEighthTurn(double x)
    {
        double s = x * x;
        double series = -1 / 1307674368000.0;
        series = (series * s) + (1 / 6227020800.0);
        series = (series * s) - (1 / 39916800.0);
        series = (series * s) + (1 / 362880.0);
        series = (series * s) - (1 / 5040.0);
        series = (series * s) + (1 / 120.0);
        series = (series * s) - (1 / 6.0);
        return x + (x * s * series);
    }

    private static double CosUpToEighthTurn(double x)
    {
        double s = x * x;
        double series = 1 / 20922789888000.0;
        series = (series * s) - (1 / 87178291200.0);
        series = (series * s) + (1 / 479001600.0);
        series = (series * s) - (1 / 3628800.0);
        series = (series * s) + (1 / 40320.0);
        series = (series * s) - (1 / 720.0);
        series = (series * s) + (1 / 24.0);
        return 1 - (0.5 * s) + (s * s * series);
    }

    // Two halvings of the angle bring the tangent below 0.2, where the series is short.
    private static double AtanUpToOne(double tangent)
    {
        double half = tangent / (1 + Math.Sqrt(1 + (tangent * tangent)));
        double t = half / (1 + Math.Sqrt(1 + (half * half)));
        double s = t * t;
        double series = 0;
        for (int power = 23; power >= 3; power -= 2)
        {
            series = s * ((power & 2) == 0 ? (1.0 / power) + series : (-1.0 / power) + series);
        }

        return 4 * (t + (t * series));
    }
}
