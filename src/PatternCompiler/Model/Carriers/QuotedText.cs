using System.Globalization;
using System.Text;

namespace PatternCompiler.Model.Carriers;

/// <summary>Names in double quotes, as the text carriers write them.</summary>
internal static class QuotedText
{
    /// <summary>The name in quotes; <c>"</c> and <c>\</c> get a backslash, control and invisible characters become <c>\uXXXX</c>.</summary>
    public static string Quote(string name)
    {
        var text = new StringBuilder(name.Length + 2).Append('"');
        foreach (char character in name)
        {
            if (character is '"' or '\\')
            {
                text.Append('\\').Append(character);
            }
            else if (char.IsControl(character) || IsInvisible(character) || char.IsSurrogate(character) && !IsPaired(name))
            {
                text.Append("\\u").Append(((int)character).ToString("X4", CultureInfo.InvariantCulture));
            }
            else
            {
                text.Append(character);
            }
        }

        return text.Append('"').ToString();
    }

    /// <summary>
    /// Reads a quoted name at the start of <paramref name="text"/>; <paramref name="length"/> is what it took, quotes
    /// included.
    /// </summary>
    public static bool TryUnquote(string text, out string name, out int length)
    {
        name = "";
        length = 0;
        if (text.Length == 0 || text[0] != '"')
        {
            return false;
        }

        var result = new StringBuilder();
        for (int i = 1; i < text.Length; i++)
        {
            char character = text[i];
            if (character == '"')
            {
                name = result.ToString();
                length = i + 1;
                return true;
            }

            if (character == '\\')
            {
                i++;
                if (i < text.Length && text[i] is '"' or '\\')
                {
                    result.Append(text[i]);
                }
                else if (i + 4 < text.Length && text[i] == 'u' &&
                    ushort.TryParse(text.AsSpan(i + 1, 4), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out ushort unit))
                {
                    result.Append((char)unit);
                    i += 4;
                }
                else
                {
                    return false;
                }
            }
            else
            {
                result.Append(character);
            }
        }

        return false;
    }

    // Those that turn the direction of reading, or end a line, among them.
    private static bool IsInvisible(char character) => char.GetUnicodeCategory(character)
        is UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator;

    // A lone surrogate has no UTF-8 form; names that hold one escape all their surrogates.
    private static bool IsPaired(string name)
    {
        for (int i = 0; i < name.Length; i++)
        {
            if (char.IsSurrogate(name[i]))
            {
                if (!char.IsHighSurrogate(name[i]) || i + 1 >= name.Length || !char.IsLowSurrogate(name[i + 1]))
                {
                    return false;
                }

                i++;
            }
        }

        return true;
    }
}
