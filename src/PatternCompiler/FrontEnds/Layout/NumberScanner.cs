using System.Globalization;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>
/// Reads an unsigned decimal number exactly. Most fit a whole number of 18 digits and a power of ten, which is all that
/// the fast path of coordinates needs.
/// </summary>
internal static class NumberScanner
{
    private const int MostFastDigits = 18;

    /// <summary>True if a number starts at the scanner, after blanks.</summary>
    public static bool IsNext(ref LineScanner scanner)
    {
        byte next = scanner.Peek();
        return char.IsAsciiDigit((char)next)
            || (next == (byte)'.' && scanner.Position + 1 < scanner.Text.Length && char.IsAsciiDigit((char)scanner.Text[scanner.Position + 1]));
    }

    /// <summary>
    /// Takes digits with at most one point as <c>digits · 10^−decimals</c>. False, with the scanner unmoved, if they are too
    /// many or an exponent follows.
    /// </summary>
    public static bool TryTakeShort(ref LineScanner scanner, out long digits, out int decimals)
    {
        ReadOnlySpan<byte> text = scanner.Text;
        int position = scanner.Position;
        int count = 0;
        int point = -1;
        digits = 0;
        for (; position < text.Length; position++)
        {
            byte value = text[position];
            if (char.IsAsciiDigit((char)value))
            {
                digits = (digits * 10) + (value - (byte)'0');
                count++;
            }
            else if (value == (byte)'.' && point < 0)
            {
                point = position;
            }
            else
            {
                break;
            }
        }

        decimals = point < 0 ? 0 : position - point - 1;
        if (count > MostFastDigits || IsExponent(text, position))
        {
            return false;
        }

        scanner.Position = position;
        return true;
    }

    /// <summary>Takes any number.</summary>
    public static decimal Take(ref LineScanner scanner)
    {
        if (TryTakeShort(ref scanner, out long digits, out int decimals))
        {
            return new decimal((int)digits, (int)(digits >> 32), 0, false, (byte)decimals);
        }

        ReadOnlySpan<byte> text = TakeLong(ref scanner, out int start);
        return decimal.TryParse(text, NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent, CultureInfo.InvariantCulture, out decimal value)
            ? value
            : throw scanner.Fault(LayoutCodes.Arithmetic, "this number is too large", start, "numbers have at most 28 digits before the point");
    }

    /// <summary>Takes any number as the nearest double.</summary>
    public static double TakeReal(ref LineScanner scanner)
    {
        ReadOnlySpan<byte> text = TakeLong(ref scanner, out int start);
        return double.TryParse(text, NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent, CultureInfo.InvariantCulture, out double value) && double.IsFinite(value)
            ? value
            : throw scanner.Fault(LayoutCodes.Arithmetic, "this number is too large", start, "numbers are below 1.8e308");
    }

    private static ReadOnlySpan<byte> TakeLong(ref LineScanner scanner, out int start)
    {
        ReadOnlySpan<byte> text = scanner.Text;
        start = scanner.Position;
        int position = TakeDigits(text, start);
        if (position < text.Length && text[position] == (byte)'.')
        {
            position = TakeDigits(text, position + 1);
        }

        if (IsExponent(text, position))
        {
            position = TakeDigits(text, position + 2);
        }

        scanner.Position = position;
        return text[start..position];
    }

    private static int TakeDigits(ReadOnlySpan<byte> text, int position)
    {
        while (position < text.Length && char.IsAsciiDigit((char)text[position]))
        {
            position++;
        }

        return position;
    }

    private static bool IsExponent(ReadOnlySpan<byte> text, int position)
    {
        if (position + 1 >= text.Length || (text[position] | 0x20) != (byte)'e')
        {
            return false;
        }

        byte next = text[position + 1];
        return char.IsAsciiDigit((char)next)
            || (next is (byte)'+' or (byte)'-' && position + 2 < text.Length && char.IsAsciiDigit((char)text[position + 2]));
    }
}
