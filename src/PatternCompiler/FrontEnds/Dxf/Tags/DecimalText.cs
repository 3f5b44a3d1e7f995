using System.Buffers.Text;

namespace PatternCompiler.FrontEnds.Dxf.Tags;

/// <summary>Reads decimal numbers from bytes. Drawings consist of little else, so this is the innermost loop of the reader.</summary>
internal static class DecimalText
{
    private const long LargestExactMantissa = 1L << 53;

    private static readonly double[] PowersOfTen =
    [
        1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
        1e21, 1e22,
    ];

    /// <summary>Reads a finite number: optional sign, digits with an optional point, optional exponent; nothing else.</summary>
    public static bool TryParseReal(ReadOnlySpan<byte> text, out double value)
    {
        // A mantissa below 2^53 over a power of ten up to 10^22 is one correctly rounded division of two exact numbers.
        long mantissa = 0;
        int digits = 0;
        int decimals = 0;
        int i = 0;
        bool negative = false;
        if (text.Length > 0 && text[0] is (byte)'-' or (byte)'+')
        {
            negative = text[0] == '-';
            i = 1;
        }

        bool point = false;
        for (; i < text.Length; i++)
        {
            uint digit = (uint)(text[i] - '0');
            if (digit <= 9)
            {
                mantissa = (mantissa * 10) + digit;
                digits++;
                decimals += point ? 1 : 0;
                if (digits > 18)
                {
                    return TryParseSlowly(text, out value);
                }
            }
            else if (text[i] == '.' && !point)
            {
                point = true;
            }
            else
            {
                return TryParseSlowly(text, out value);
            }
        }

        if (digits == 0 || mantissa > LargestExactMantissa)
        {
            return TryParseSlowly(text, out value);
        }

        value = mantissa / PowersOfTen[decimals];
        value = negative ? -value : value;
        return true;
    }

    private static bool TryParseSlowly(ReadOnlySpan<byte> text, out double value)
    {
        ReadOnlySpan<byte> number = text.Length > 0 && text[0] == '+' ? text[1..] : text;
        foreach (byte b in number)
        {
            // Leaves no words such as Infinity or NaN to the general parser.
            if (b is not ((>= (byte)'0' and <= (byte)'9') or (byte)'.' or (byte)'-' or (byte)'+' or (byte)'e' or (byte)'E'))
            {
                value = 0;
                return false;
            }
        }

        return Utf8Parser.TryParse(number, out value, out int used) && used == number.Length && double.IsFinite(value);
    }

    /// <summary>Reads a whole number with an optional sign.</summary>
    public static bool TryParseInteger(ReadOnlySpan<byte> text, out long value)
    {
        ReadOnlySpan<byte> number = text.Length > 1 && text[0] == '+' ? text[1..] : text;
        return Utf8Parser.TryParse(number, out value, out int used) && used == number.Length;
    }
}
