using System.Buffers.Binary;

namespace PatternCompiler.FrontEnds.Gdsii;

/// <summary>
/// The eight-byte real of the format: a sign bit, seven bits of exponent to the base 16 in excess of 64, and a fraction of
/// 56 bits between 1/16 and 1.
/// </summary>
internal static class GdsiiReal
{
    private const int ExponentExcess = 64;
    private const int FractionBits = 56;
    private const ulong FractionMask = (1UL << FractionBits) - 1;

    /// <summary>Number that eight bytes stand for.</summary>
    public static double Read(ReadOnlySpan<byte> bytes)
    {
        ulong word = BinaryPrimitives.ReadUInt64BigEndian(bytes);
        int exponent = (int)((word >> FractionBits) & 0x7f) - ExponentExcess;
        double value = Math.ScaleB((double)(word & FractionMask), (4 * exponent) - FractionBits);
        return (word >> 63) != 0 ? -value : value;
    }

    /// <summary>Writes a number, rounded to nearest in the last bit of the fraction.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The number is not finite or beyond about 7e75.</exception>
    public static void Write(Span<byte> bytes, double value)
    {
        if (!(Math.Abs(value) < 7.2e75))
        {
            throw new ArgumentOutOfRangeException(nameof(value), value, "The format holds finite numbers below 7.2e75.");
        }

        ulong word = 0;
        if (Math.Abs(value) > 5.4e-79)
        {
            // Sixteenths: the exponent to base 2 rounded up to a multiple of four.
            int binary = Math.ILogB(Math.Abs(value)) + 1;
            int exponent = (int)Math.Ceiling(binary / 4.0);
            ulong fraction = (ulong)Math.Round(Math.ScaleB(Math.Abs(value), FractionBits - (4 * exponent)));
            word = ((ulong)(exponent + ExponentExcess) << FractionBits) | fraction | (value < 0 ? 1UL << 63 : 0);
        }

        BinaryPrimitives.WriteUInt64BigEndian(bytes, word);
    }
}
