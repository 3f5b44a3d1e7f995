using System.Text;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>Takes the formatting out of the strings of TEXT and MTEXT.</summary>
internal static class TextMarkup
{
    // Codes of MTEXT that carry an argument up to a semicolon: font, height, width, slant, spacing, colour, alignment, paragraph, stack.
    private const string CodesWithArgument = "fFHWQTCcAp";

    /// <summary>Text of a TEXT entity: %%d, %%p, %%c and %%nnn stand for characters, %%u and %%o are dropped.</summary>
    public static string Plain(string text)
    {
        var result = new StringBuilder(text.Length);
        for (int i = 0; i < text.Length; i++)
        {
            if (text[i] != '%' || i + 2 >= text.Length || text[i + 1] != '%')
            {
                result.Append(text[i]);
                continue;
            }

            char code = char.ToLowerInvariant(text[i + 2]);
            if (char.IsAsciiDigit(code) && i + 4 < text.Length && char.IsAsciiDigit(text[i + 3]) && char.IsAsciiDigit(text[i + 4]))
            {
                result.Append((char)(((code - '0') * 100) + ((text[i + 3] - '0') * 10) + text[i + 4] - '0'));
                i += 4;
                continue;
            }

            result.Append(code switch { 'd' => "°", 'p' => "±", 'c' => "Ø", '%' => "%", _ => "" });
            i += 2;
        }

        return result.ToString();
    }

    /// <summary>Text of an MTEXT entity: lines separated by line feeds, everything else of the formatting dropped.</summary>
    public static string Lines(string text)
    {
        var result = new StringBuilder(text.Length);
        for (int i = 0; i < text.Length; i++)
        {
            if (text[i] is '{' or '}')
            {
                continue;
            }

            if (text[i] != '\\' || i + 1 == text.Length)
            {
                result.Append(text[i]);
                continue;
            }

            i++;
            if (text[i] == 'P')
            {
                result.Append('\n');
            }
            else if (text[i] == '~')
            {
                result.Append(' ');
            }
            else if (text[i] == 'S')
            {
                // A stack such as \S1/2; reads 1/2.
                int end = Math.Max(i, text.IndexOf(';', i));
                result.Append(text.AsSpan(i + 1, Math.Max(0, end - i - 1))).Replace('^', '/').Replace('#', '/');
                i = end;
            }
            else if (CodesWithArgument.Contains(text[i], StringComparison.Ordinal))
            {
                int end = text.IndexOf(';', i);
                i = end < 0 ? text.Length : end;
            }
            else if (text[i] is '\\' or '{' or '}')
            {
                result.Append(text[i]);
            }
        }

        return Plain(result.ToString());
    }
}
