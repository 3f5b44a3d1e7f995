using System.Buffers.Text;

namespace PatternCompiler.Model.Carriers;

/// <summary>Decimal numbers with a fixed number of places, held as scaled integers: no rounding in either direction.</summary>
internal static class FixedPointText
{
    private const int MostPlaces = 18;

    private static ReadOnlySpan<long> PowersOfTen =>
    [
        1, 10, 100, 1_000, 10_000, 100_000, 1_000_000, 10_000_000, 100_000_000, 1_000_000_000, 10_000_000_000,
        100_000_000_000, 1_000_000_000_000, 10_000_000_000_000, 100_000_000_000_000, 1_000_000_000_000_000,
        10_000_000_000_000_000, 100_000_000_000_000_000, 1_000_000_000_000_000_000,
    ];

    /// <summary>Prints without trailing zeros; returns the number of bytes. The target holds at least 31 bytes.</summary>
    public static int Format(long scaled, int decimals, Span<byte> target)
    {
        int used = 0;
        ulong magnitude = (ulong)scaled;
        if (scaled < 0)
        {
            target[used++] = (byte)'-';
            magnitude = 0 - magnitude;
        }

        (ulong whole, ulong fraction) = Math.DivRem(magnitude, (ulong)PowersOfTen[decimals]);
        Utf8Formatter.TryFormat(whole, target[used..], out int written);
        used += written;
        if (fraction == 0)
        {
            return used;
        }

        int places = decimals;
        for (; fraction % 10 == 0; places--)
        {
            fraction /= 10;
        }

        target[used++] = (byte)'.';
        for (int place = used + places - 1; place >= used; place--)
        {
            (fraction, ulong digit) = Math.DivRem(fraction, 10);
            target[place] = (byte)('0' + digit);
        }

        return used + places;
    }

    /// <summary>
    /// Reads an optional minus sign, digits, and at most <paramref name="decimals"/> digits after a point; false for
    /// anything else or a value beyond 64 bits.
    /// </summary>
    public static bool TryParse(ReadOnlySpan<byte> text, int decimals, out long scaled)
    {
        scaled = 0;
        bool negative = text.Length > 0 && text[0] == '-';
        if (negative)
        {
            text = text[1..];
        }

        int point = text.IndexOf((byte)'.');
        ReadOnlySpan<byte> whole = point < 0 ? text : text[..point];
        ReadOnlySpan<byte> fraction = point < 0 ? default : text[(point + 1)..];
        if (whole.Length == 0 || (point >= 0 && fraction.Length == 0) || fraction.Length > decimals || decimals > MostPlaces)
        {
            return false;
        }

        // Ten digits of whole part at most leave room for any number of places that the documents use; longer
        // numbers go through 128 bits.
        Int128 value = 0;
        if (whole.Length > 20 || !TryDigits(whole, ref value) || !TryDigits(fraction, ref value))
        {
            return false;
        }

        value *= PowersOfTen[decimals - fraction.Length];
        if (negative)
        {
            value = -value;
        }

        if (value < long.MinValue || value > long.MaxValue)
        {
            return false;
        }

        scaled = (long)value;
        return true;
    }

    private static bool TryDigits(ReadOnlySpan<byte> digits, ref Int128 value)
    {
        // Up to eighteen digits fit a 64-bit accumulator, which is much faster than 128 bits.
        while (digits.Length > 0)
        {
            ReadOnlySpan<byte> part = digits[..Math.Min(digits.Length, MostPlaces)];
            long accumulated = 0;
            foreach (byte character in part)
            {
                int digit = character - '0';
                if ((uint)digit > 9)
                {
                    return false;
                }

                accumulated = accumulated * 10 + digit;
            }

            value = value * PowersOfTen[part.Length] + accumulated;
            digits = digits[part.Length..];
        }

        return true;
    }
}
