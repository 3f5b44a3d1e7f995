using System.Globalization;

namespace PatternCompiler.Units;

/// <summary>
/// The one way numbers are read and printed: decimal point, optional sign and exponent, never a thousands separator,
/// never a culture.
/// </summary>
internal static class NumberText
{
    private const NumberStyles RealStyle =
        NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent;

    /// <summary>Reads a finite number; false for anything else (empty, "1,5", "NaN", overflow to infinity).</summary>
    public static bool TryParseReal(ReadOnlySpan<char> text, out double value) =>
        double.TryParse(text, RealStyle, CultureInfo.InvariantCulture, out value) && double.IsFinite(value);

    /// <summary>Reads a whole number with an optional sign.</summary>
    public static bool TryParseInteger(ReadOnlySpan<char> text, out long value) =>
        long.TryParse(text, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out value);

    /// <summary>Shortest text that reads back to the same value.</summary>
    public static string Format(double value) => value.ToString("R", CultureInfo.InvariantCulture);
}
