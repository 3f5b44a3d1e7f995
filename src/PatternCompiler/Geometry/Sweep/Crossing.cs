namespace PatternCompiler.Geometry.Sweep;

/// <summary>Exact test for, and exact rounding of, the point where two edges cross.</summary>
internal static class Crossing
{
    /// <summary>
    /// Rounds the crossing of two edges to the grid, halves upward, into a <see cref="PixelKey"/> which is marked if the
    /// crossing does not lie on the grid point itself. False if they do not cross in a point that is inside both: a touch
    /// at an end needs no new point, since ends are grid points already.
    /// </summary>
    /// <remarks>
    /// Coordinates differ by less than 2^31, so every cross product fits 64 bits. The quotient is formed in floating
    /// point first: its error is below 2^-19 grid steps, and only when the outcome is that close to a decision does the
    /// exact division decide.
    /// </remarks>
    public static bool TryRound(in InputEdge a, in InputEdge b, out ulong key)
    {
        long ax = (long)a.UpperX - a.LowerX, ay = (long)a.UpperY - a.LowerY;
        long bx = (long)b.UpperX - b.LowerX, by = (long)b.UpperY - b.LowerY;
        long ox = (long)b.LowerX - a.LowerX, oy = (long)b.LowerY - a.LowerY;
        long lowerSide = (ax * oy) - (ay * ox);
        long turn = (ax * by) - (ay * bx);
        long upperSide = lowerSide + turn;
        long along = (ox * by) - (oy * bx);
        long rest = along - turn;
        if (((lowerSide ^ upperSide) & (along ^ rest)) >= 0 || lowerSide == 0 || upperSide == 0 || along == 0 || rest == 0)
        {
            key = 0;
            return false;
        }

        double share = along / (double)turn;
        int x = a.LowerX + Round(ax, share, along, turn, out bool exactX);
        int y = a.LowerY + Round(ay, share, along, turn, out bool exactY);
        key = PixelKey.Pack(x, y) | (exactX && exactY ? 0 : PixelKey.RoundedMark);
        return true;
    }

    private static int Round(long length, double share, long numerator, long denominator, out bool isExact)
    {
        const double Doubt = 1.0 / (1 << 18);
        if (length == 0)
        {
            isExact = true;
            return 0;
        }

        double shifted = (length * share) + 0.5;
        double whole = Math.Floor(shifted);
        double fraction = shifted - whole;
        if (fraction is > Doubt and < 1 - Doubt)
        {
            isExact = Math.Abs(fraction - 0.5) < Doubt && IsWhole(length, numerator, denominator);
            return (int)whole;
        }

        isExact = false;
        return RoundExactly(length, numerator, denominator);
    }

    private static bool IsWhole(long length, long numerator, long denominator) =>
        numerator is > int.MinValue and < int.MaxValue
            ? length * numerator % denominator == 0
            : (Int128)length * numerator % denominator == 0;

    private static int RoundExactly(long length, long numerator, long denominator)
    {
        Int128 n = ((Int128)length * numerator * 2) + denominator;
        Int128 d = (Int128)denominator * 2;
        Int128 quotient = n / d;
        if (quotient * d != n && (Int128.IsNegative(n) != Int128.IsNegative(d)))
        {
            quotient--;
        }

        return (int)quotient;
    }
}
