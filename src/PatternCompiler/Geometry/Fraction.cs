using System.Numerics;

namespace PatternCompiler.Geometry;

/// <summary>An exact quotient in lowest terms with a positive denominator.</summary>
internal readonly record struct Fraction
{
    /// <summary>Reduces a quotient.</summary>
    public Fraction(BigInteger numerator, BigInteger denominator)
    {
        if (denominator.IsZero)
        {
            throw new DivideByZeroException();
        }

        BigInteger divisor = BigInteger.GreatestCommonDivisor(numerator, denominator) * denominator.Sign;
        Numerator = numerator / divisor;
        Denominator = denominator / divisor;
    }

    /// <summary>Above the bar.</summary>
    public BigInteger Numerator { get; }

    /// <summary>Below the bar, above zero.</summary>
    public BigInteger Denominator { get; }

    /// <summary>A whole number.</summary>
    public static implicit operator Fraction(Int128 whole) => new(whole, BigInteger.One);

    /// <summary>Sum.</summary>
    public static Fraction operator +(Fraction a, Fraction b) =>
        new((a.Numerator * b.Denominator) + (b.Numerator * a.Denominator), a.Denominator * b.Denominator);

    /// <summary>Nearest floating-point number, good to 15 digits.</summary>
    public double ToDouble()
    {
        BigInteger whole = BigInteger.DivRem(Numerator, Denominator, out BigInteger rest);
        return (double)whole + ((double)(rest * 1_000_000_000 / Denominator) * 1e-9);
    }

    /// <inheritdoc/>
    public override string ToString() => Denominator.IsOne ? Numerator.ToString() : $"{Numerator}/{Denominator}";
}
