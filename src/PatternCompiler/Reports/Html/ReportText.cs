using PatternCompiler.Pictures;
using PatternCompiler.Units;

namespace PatternCompiler.Reports.Html;

/// <summary>Numbers and quantities as a page sets them: with µ and superscripts, number and unit on one line.</summary>
internal static class ReportText
{
    private const char NoBreakSpace = '\u00A0';

    /// <summary>A quantity in its base unit.</summary>
    public static string Of(double value, Dimension dimension, int digits = 4) => Typeset(QuantityText.Format(value, dimension, digits));

    /// <summary>A length.</summary>
    public static string Nanometres(double value, int digits = 4) => Of(value * 1e-9, Dimension.Length, digits);

    /// <summary>A length with its sign.</summary>
    public static string Signed(double nanometres)
    {
        string length = Nanometres(Math.Abs(nanometres), 3);
        return nanometres < 0 ? "−" + length : nanometres > 0 ? "+" + length : length;
    }

    /// <summary>A place, in micrometres.</summary>
    public static string Place(double xNanometres, double yNanometres) =>
        $"({Number(xNanometres * 1e-3)},{NoBreakSpace}{Number(yNanometres * 1e-3)}){NoBreakSpace}µm";

    /// <summary>A whole number, its digits in groups.</summary>
    public static string Count(long number) => FactText.Grouped(number).Replace(' ', '\u202F');

    /// <summary>A whole number and what is counted.</summary>
    public static string Count(long number, string one, string many) => $"{Count(number)}{NoBreakSpace}{CountText.Word(number, one, many)}";

    /// <summary>A part as percentage.</summary>
    public static string Percent(double part, int digits = 2) =>
        part is > 0 and < 1e-6 ? $"0{NoBreakSpace}%" : $"{QuantityText.Format(part * 100, Dimension.Fraction, digits)}{NoBreakSpace}%";

    /// <summary>A plain number with few digits.</summary>
    public static string Number(double value) => QuantityText.Format(value, Dimension.Fraction).Replace('-', '−');

    /// <summary>Text whose numbers, with their digits in groups and their units, stay on one line.</summary>
    public static string Unbroken(string text)
    {
        char[] characters = text.ToCharArray();
        for (int i = 1; i + 1 < characters.Length; i++)
        {
            if (characters[i] == ' ' && char.IsAsciiDigit(characters[i - 1]) && characters[i + 1] is not '·')
            {
                characters[i] = char.IsAsciiDigit(characters[i + 1]) ? '\u202F' : NoBreakSpace;
            }
        }

        return new string(characters);
    }

    /// <summary>Text as the messages print it ("12 um", "300 uC/cm2"), set for a page.</summary>
    public static string Typeset(string text)
    {
        int space = text.LastIndexOf(' ');
        if (space < 0)
        {
            return text;
        }

        string unit = text[(space + 1)..];
        unit = unit switch
        {
            ['u', _, ..] => "µ" + unit[1..],
            _ => unit,
        };
        string number = text[0] == '-' ? "−" + text[1..space] : text[..space];
        return number.Replace(' ', NoBreakSpace) + NoBreakSpace + unit.Replace("cm2", "cm²", StringComparison.Ordinal);
    }
}
