using System.Globalization;

namespace PatternCompiler.Units;

/// <summary>
/// Multiplies a base dose. Held as a whole number of millionths, so that factors compare, sort and print exactly.
/// </summary>
/// <param name="Millionths">The factor times 1,000,000; zero or more.</param>
public readonly record struct DoseFactor(int Millionths) : IComparable<DoseFactor>
{
    /// <summary>The factor that changes nothing.</summary>
    public static DoseFactor One => new(1_000_000);

    /// <summary>The largest factor.</summary>
    public static DoseFactor Largest => new(2_000_000_000);

    /// <summary>The factor as a plain number.</summary>
    public double Value => Millionths * 1e-6;

    /// <summary>Nearest representable factor; negative, non-finite or larger than 2,000 is refused.</summary>
    public static DoseFactor FromValue(double value)
    {
        if (!(value >= 0 && value <= Largest.Value))
        {
            throw new ArgumentOutOfRangeException(nameof(value), value, "A dose factor is between 0 and 2000.");
        }

        return new((int)Math.Round(value * 1e6, MidpointRounding.AwayFromZero));
    }

    /// <summary>Product of two factors, rounded to the nearest millionth and limited to the largest factor, 2,000.</summary>
    public static DoseFactor operator *(DoseFactor a, DoseFactor b) =>
        new((int)Math.Min(Largest.Millionths, ((long)a.Millionths * b.Millionths + 500_000) / 1_000_000));

    /// <inheritdoc/>
    public int CompareTo(DoseFactor other) => Millionths.CompareTo(other.Millionths);

    /// <summary>Shortest decimal form, e.g. "1.25".</summary>
    public override string ToString() => (Millionths / 1_000_000m).ToString("0.######", CultureInfo.InvariantCulture);

    /// <inheritdoc cref="CompareTo"/>
    public static bool operator <(DoseFactor a, DoseFactor b) => a.Millionths < b.Millionths;

    /// <inheritdoc cref="CompareTo"/>
    public static bool operator >(DoseFactor a, DoseFactor b) => a.Millionths > b.Millionths;

    /// <inheritdoc cref="CompareTo"/>
    public static bool operator <=(DoseFactor a, DoseFactor b) => a.Millionths <= b.Millionths;

    /// <inheritdoc cref="CompareTo"/>
    public static bool operator >=(DoseFactor a, DoseFactor b) => a.Millionths >= b.Millionths;
}
