using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Svg.Syntax;

/// <summary>Reads lengths. Units by CSS Values and Units 3: 96 px = 72 pt = 6 pc = 2.54 cm = 1 in, 1 Q = 0.25 mm.</summary>
internal static class SvgLength
{
    /// <summary>A length as written.</summary>
    /// <param name="Number">Number before the unit.</param>
    /// <param name="Unit">Unit, empty for user units.</param>
    public readonly record struct Written(double Number, string Unit)
    {
        /// <summary>True if the unit is a physical one.</summary>
        public bool IsPhysical => Unit is "mm" or "cm" or "in" or "pt" or "pc" or "Q";
    }

    /// <summary>Splits a length into number and unit; fails on anything else.</summary>
    public static Written Parse(SvgContext context, SvgElement element, string attribute, string text)
    {
        var scanner = new SvgScanner(text);
        if (scanner.TryTakeNumber(out double number))
        {
            string unit = scanner.TakeWord() switch { "q" => "Q", var word => word is "Q" ? "Q" : word.ToString().ToLowerInvariant() };
            if (scanner.AtEnd && UserUnits(unit) is not null)
            {
                return new(number, unit);
            }
        }

        throw context.Fault(
            SvgCodes.BadNumber,
            $"{attribute}=\"{Shorten(text)}\" is no length",
            element,
            "lengths are numbers with one of the units px, pt, pc, mm, cm, Q, in, % or none");
    }

    /// <summary>A length in user units; a percentage is of <paramref name="whole"/>.</summary>
    public static double Read(SvgContext context, SvgElement element, string attribute, double whole, double fallback = 0)
    {
        string? text = element.Get(attribute);
        if (text is null or "auto")
        {
            return fallback;
        }

        Written length = Parse(context, element, attribute, text);
        return ToUser(length, whole);
    }

    /// <summary>A written length in user units.</summary>
    public static double ToUser(Written length, double whole) =>
        length.Unit == "%" ? length.Number / 100 * whole : length.Number * UserUnits(length.Unit)!.Value;

    /// <summary>A text cut to fit a message.</summary>
    public static string Shorten(string text) => text.Length <= 40 ? text : text[..40] + "...";

    private static double? UserUnits(string unit) => unit switch
    {
        "" or "px" => 1,
        "mm" => 96 / 25.4,
        "cm" => 96 / 2.54,
        "in" => 96,
        "pt" => 96 / 72.0,
        "pc" => 16,
        "Q" => 96 / 101.6,
        "%" => 0.01,
        _ => null,
    };
}
