using System.Globalization;
using PatternCompiler.Units;

namespace PatternCompiler.Pictures;

/// <summary>Numbers as a picture writes them.</summary>
internal static class FactText
{
    /// <summary>"1 dot", "2 dots", "12 345 dots".</summary>
    public static string Count(long count, string one, string many) => $"{Grouped(count)} {CountText.Word(count, one, many)}";

    /// <summary>A whole number with its digits in groups of three from five digits on.</summary>
    public static string Grouped(long number) =>
        Math.Abs(number) < 10_000
            ? number.ToString(CultureInfo.InvariantCulture)
            : number.ToString("#,0", CultureInfo.InvariantCulture).Replace(',', ' ');

    /// <summary>At most so many significant digits, without exponent.</summary>
    public static string Round(double value, int digits = 4)
    {
        if (value == 0 || !double.IsFinite(value))
        {
            return "0";
        }

        int decimals = digits - 1 - (int)Math.Floor(Math.Log10(Math.Abs(value)));
        return decimals >= 0
            ? Math.Round(value, Math.Min(decimals, 15)).ToString("0.###############", CultureInfo.InvariantCulture)
            : Math.Round(value).ToString("0", CultureInfo.InvariantCulture);
    }

    /// <summary>A length in the unit that suits its size.</summary>
    public static string Length(double nanometres) => Typeset(QuantityText.Format(nanometres * 1e-9, Dimension.Length));

    /// <summary>A time in the unit that suits its size.</summary>
    public static string Time(double seconds) => Typeset(QuantityText.Format(seconds, Dimension.Time));

    /// <summary>A voltage in the unit that suits its size.</summary>
    public static string Voltage(double volts) => Typeset(QuantityText.Format(volts, Dimension.Voltage, 3));

    /// <summary>A charge in the unit that suits its size.</summary>
    public static string Charge(double coulombs) => Typeset(QuantityText.Format(coulombs, Dimension.Charge));

    /// <summary>The micro sign in place of the u of messages.</summary>
    private static string Typeset(string text) => text.Replace(" u", " µ", StringComparison.Ordinal);

    /// <summary>Width and height in one unit, µm or nm.</summary>
    public static string Size(SceneExtent extent) => extent.IsEmpty
        ? "empty"
        : Math.Max(extent.Width, extent.Height) >= 1000
            ? $"{Round(extent.Width * 1e-3)} × {Round(extent.Height * 1e-3)} µm"
            : $"{Round(extent.Width)} × {Round(extent.Height)} nm";

    /// <summary>Joins the parts that are not empty with a raised dot.</summary>
    public static string Join(params ReadOnlySpan<string> parts) =>
        string.Join(" · ", parts.ToArray().Where(part => part.Length > 0));
}
