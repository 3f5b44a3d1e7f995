using System.Buffers;
using System.Drawing;
using System.Globalization;

namespace PatternCompiler.FrontEnds.Svg.Syntax;

/// <summary>
/// A colour of CSS Color 4. Only two things matter: its opacity, and one spelling, so that a layer named by colour is one layer
/// however its colour is written.
/// </summary>
/// <param name="Name"><c>#rrggbb</c> for named, hexadecimal, rgb(), hsl() and hwb() colours; else as written, in lower case.</param>
/// <param name="Opacity">From 0, which shows nothing, to 1.</param>
internal readonly record struct SvgColour(string Name, double Opacity)
{
    private static readonly SearchValues<char> HexadecimalDigits = SearchValues.Create("0123456789abcdef");

    /// <summary>Reads a colour; null if it is none.</summary>
    public static SvgColour? Read(string paint)
    {
        string text = paint.Trim().ToLowerInvariant();
        return text == "transparent" ? new SvgColour(text, 0) : FromHexadecimal(text) ?? FromFunction(text) ?? FromName(text);
    }

    /// <summary>Reads an opacity, a number or a percentage; what lies beyond 0 or 1 is 0 or 1.</summary>
    public static bool TryReadOpacity(string text, out double opacity)
    {
        var scanner = new SvgScanner(text);
        bool isNumber = scanner.TryTakeNumber(out opacity);
        ReadOnlySpan<char> unit = scanner.TakeWord();
        opacity = Math.Clamp(unit is "%" ? opacity / 100 : opacity, 0, 1);
        return isNumber && unit is "" or "%" && scanner.AtEnd;
    }

    private static SvgColour? FromHexadecimal(string text)
    {
        if (text.Length is not (4 or 5 or 7 or 9) || text[0] != '#' || text.AsSpan(1).ContainsAnyExcept(HexadecimalDigits))
        {
            return null;
        }

        string full = text.Length < 6 ? "#" + string.Concat(text.Skip(1).Select(digit => new string(digit, 2))) : text;
        int opacity = full.Length == 9 ? int.Parse(full.AsSpan(7), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture) : 255;
        return new(full[..7], opacity / 255.0);
    }

    // The opacity is the fourth of four parts, or stands behind a slash.
    private static SvgColour? FromFunction(string text)
    {
        int open = text.IndexOf('(', StringComparison.Ordinal);
        if (open < 0 || !text.EndsWith(')')
            || text[..open] is not ("rgb" or "rgba" or "hsl" or "hsla" or "hwb" or "lab" or "lch" or "oklab" or "oklch" or "color"))
        {
            return null;
        }

        string function = text[..open].TrimEnd('a');
        string inside = text[(open + 1)..^1];
        string[] halves = inside.Split('/', StringSplitOptions.TrimEntries);
        string[] parts = halves[0].Split(inside.Contains(',', StringComparison.Ordinal) ? ',' : ' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        int channels = function == "color" ? 4 : 3;
        string? opacityText = halves.Length == 2 ? halves[1] : halves.Length == 1 && parts.Length == channels + 1 ? parts[channels] : null;
        double opacity = 1;
        if (halves.Length > 2 || parts.Length < channels || parts.Length > channels + 1
            || (opacityText is not null && opacityText != "none" && !TryReadOpacity(opacityText, out opacity)))
        {
            return null;
        }

        opacity = opacityText == "none" ? 0 : opacity;
        Span<double> values = stackalloc double[3];
        if (function is not ("rgb" or "hsl" or "hwb"))
        {
            return new(text, opacity);
        }

        for (int i = 0; i < 3; i++)
        {
            if (!TryReadChannel(parts[i], function == "rgb" ? 2.55 : 1, isAngle: function != "rgb" && i == 0, out values[i]))
            {
                return null;
            }
        }

        return new(function == "rgb" ? Hexadecimal(values[0], values[1], values[2]) : FromHue(function, values), opacity);
    }

    private static bool TryReadChannel(string text, double percent, bool isAngle, out double value)
    {
        value = 0;
        if (text == "none")
        {
            return true;
        }

        var scanner = new SvgScanner(text);
        if (!scanner.TryTakeNumber(out value))
        {
            return false;
        }

        string unit = scanner.TakeWord().ToString();
        value *= (unit, isAngle) switch { ("%", false) => percent, ("turn", true) => 360, ("grad", true) => 0.9, ("rad", true) => 180 / Math.PI, _ => 1 };
        return scanner.AtEnd && (isAngle ? unit is "" or "deg" or "turn" or "grad" or "rad" : unit is "" or "%");
    }

    // CSS Color 4, 7 and 8: hue in degrees, the rest in percent.
    private static string FromHue(string function, ReadOnlySpan<double> values)
    {
        double hue = values[0] - (360 * Math.Floor(values[0] / 360));
        double second = Math.Clamp(values[1] / 100, 0, 1);
        double third = Math.Clamp(values[2] / 100, 0, 1);
        return function == "hsl" ? Hexadecimal(Hsl(0), Hsl(8), Hsl(4)) : Hexadecimal(Hwb(0), Hwb(8), Hwb(4));

        double Wave(double n, double saturation, double lightness)
        {
            double k = (n + (hue / 30)) % 12;
            return lightness - (saturation * Math.Min(lightness, 1 - lightness) * Math.Max(-1, Math.Min(Math.Min(k - 3, 9 - k), 1)));
        }

        double Hsl(double n) => 255 * Wave(n, second, third);

        double Hwb(double n) => 255 * (second + third >= 1 ? second / (second + third) : (Wave(n, 1, 0.5) * (1 - second - third)) + second);
    }

    private static string Hexadecimal(double red, double green, double blue)
    {
        static int Byte(double value) => (int)Math.Clamp(Math.Round(value, MidpointRounding.AwayFromZero), 0, 255);
        return string.Create(CultureInfo.InvariantCulture, $"#{Byte(red):x2}{Byte(green):x2}{Byte(blue):x2}");
    }

    private static SvgColour? FromName(string text)
    {
        Color colour = Color.FromName(text.Replace("grey", "gray", StringComparison.Ordinal));
        return colour.IsKnownColor && !colour.IsSystemColor && char.IsAsciiLetter(text[0])
            ? new(string.Create(CultureInfo.InvariantCulture, $"#{colour.R:x2}{colour.G:x2}{colour.B:x2}"), 1)
            : null;
    }
}
