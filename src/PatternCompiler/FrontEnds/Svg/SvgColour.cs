using System.Buffers;
using System.Drawing;
using System.Globalization;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Brings colours to one spelling, so that a layer named by colour is one layer however its colour is written.</summary>
internal static class SvgColour
{
    private static readonly SearchValues<char> HexadecimalDigits = SearchValues.Create("0123456789abcdef");

    /// <summary><c>#rrggbb</c> for named, hexadecimal and rgb() colours of CSS Color 4; anything else as written, in lower case.</summary>
    public static string Normalise(string paint)
    {
        string text = paint.Trim().ToLowerInvariant();
        return FromHexadecimal(text) ?? FromFunction(text) ?? FromName(text) ?? text;
    }

    private static string? FromHexadecimal(string text)
    {
        if (text.Length is not (4 or 5 or 7 or 9) || text[0] != '#' || text.AsSpan(1).ContainsAnyExcept(HexadecimalDigits))
        {
            return null;
        }

        return text.Length < 6 ? $"#{text[1]}{text[1]}{text[2]}{text[2]}{text[3]}{text[3]}" : text[..7];
    }

    private static string? FromFunction(string text)
    {
        int open = text.IndexOf('(', StringComparison.Ordinal);
        if (open < 0 || text[..open] is not ("rgb" or "rgba"))
        {
            return null;
        }

        var scanner = new SvgScanner(text.AsSpan(open + 1));
        Span<int> channels = stackalloc int[3];
        for (int i = 0; i < 3; i++)
        {
            if (!scanner.TryTakeNumber(out double value))
            {
                return null;
            }

            value = scanner.TakeWord() is "%" ? value * 2.55 : value;
            channels[i] = (int)Math.Clamp(Math.Round(value, MidpointRounding.AwayFromZero), 0, 255);
            scanner.SkipSeparator();
        }

        return string.Create(CultureInfo.InvariantCulture, $"#{channels[0]:x2}{channels[1]:x2}{channels[2]:x2}");
    }

    private static string? FromName(string text)
    {
        Color colour = Color.FromName(text.Replace("grey", "gray", StringComparison.Ordinal));
        return colour.IsKnownColor && !colour.IsSystemColor && text != "transparent"
            ? string.Create(CultureInfo.InvariantCulture, $"#{colour.R:x2}{colour.G:x2}{colour.B:x2}")
            : null;
    }
}
