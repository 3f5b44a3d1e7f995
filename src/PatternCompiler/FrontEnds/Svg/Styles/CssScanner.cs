using System.Globalization;
using System.Text;

namespace PatternCompiler.FrontEnds.Svg.Styles;

/// <summary>Walks through a style sheet or a list of declarations (CSS Syntax Module 3): names with escapes, strings, nested brackets, comments.</summary>
internal ref struct CssScanner(ReadOnlySpan<char> text)
{
    private readonly ReadOnlySpan<char> text = text;

    /// <summary>Where it stands.</summary>
    public int Position { get; set; }

    /// <summary>True if nothing follows, not even a blank.</summary>
    public readonly bool AtEnd => Position >= text.Length;

    /// <summary>The character that follows, NUL at the end.</summary>
    public readonly char Peek() => AtEnd ? '\0' : text[Position];

    /// <summary>What stands between two places.</summary>
    public readonly string Between(int start, int end) => text[start..end].ToString();

    /// <summary>Skips blanks; true if there were any.</summary>
    public bool SkipBlanks()
    {
        int start = Position;
        while (!AtEnd && IsBlank(text[Position]))
        {
            Position++;
        }

        return Position > start;
    }

    /// <summary>Takes the character if it follows.</summary>
    public bool TryTake(char character)
    {
        bool follows = !AtEnd && text[Position] == character;
        Position += follows ? 1 : 0;
        return follows;
    }

    /// <summary>Takes a name, its escapes replaced; null, unmoved, if none follows.</summary>
    public string? TakeName()
    {
        int start = Position;
        var name = new StringBuilder();
        while (!AtEnd)
        {
            char c = text[Position];
            if (char.IsAsciiLetterOrDigit(c) || c is '-' or '_' || c >= 0x80)
            {
                name.Append(c);
                Position++;
            }
            else if (c == '\\' && Position + 1 < text.Length && text[Position + 1] is not ('\n' or '\r' or '\f'))
            {
                Position++;
                AppendEscaped(name);
            }
            else
            {
                break;
            }
        }

        bool isName = name.Length > 0 && !char.IsAsciiDigit(text[start])
            && !(text[start] == '-' && (Position == start + 1 || char.IsAsciiDigit(text[start + 1])));
        Position = isName ? Position : start;
        return isName ? name.ToString() : null;
    }

    /// <summary>Takes a string in quotes; null, unmoved, if none follows or it does not end.</summary>
    public string? TakeString()
    {
        char quote = Peek();
        if (quote is not ('"' or '\''))
        {
            return null;
        }

        int start = Position++;
        var value = new StringBuilder();
        while (!AtEnd && text[Position] != quote)
        {
            char c = text[Position++];
            if (c != '\\')
            {
                value.Append(c);
            }
            else if (!AtEnd && text[Position] is not ('\n' or '\r' or '\f'))
            {
                AppendEscaped(value);
            }
            else
            {
                SkipLineEnd();
            }
        }

        if (!TryTake(quote))
        {
            Position = start;
            return null;
        }

        return value.ToString();
    }

    /// <summary>Moves to the first of some characters that stands outside of brackets and quotes, or to the end.</summary>
    public void SkipTo(ReadOnlySpan<char> stops)
    {
        int depth = 0;
        while (!AtEnd)
        {
            char c = text[Position];
            if (depth == 0 && stops.Contains(c))
            {
                return;
            }

            if (c is '"' or '\'' && TakeString() is not null)
            {
                continue;
            }

            depth += c is '(' or '[' or '{' ? 1 : c is ')' or ']' or '}' && depth > 0 ? -1 : 0;
            Position += c == '\\' ? 2 : 1;
        }

        Position = text.Length;
    }

    /// <summary>The text with a blank in place of each comment.</summary>
    public static string WithoutComments(string text)
    {
        if (!text.Contains("/*", StringComparison.Ordinal))
        {
            return text;
        }

        var kept = new StringBuilder(text.Length);
        var scanner = new CssScanner(text);
        int start = 0;
        while (!scanner.AtEnd)
        {
            if (scanner.Peek() is '"' or '\'' && scanner.TakeString() is not null)
            {
                continue;
            }

            if (!text.AsSpan(scanner.Position).StartsWith("/*"))
            {
                scanner.Position += scanner.Peek() == '\\' ? 2 : 1;
                continue;
            }

            kept.Append(text, start, scanner.Position - start).Append(' ');
            int end = text.IndexOf("*/", scanner.Position + 2, StringComparison.Ordinal);
            start = scanner.Position = end < 0 ? text.Length : end + 2;
        }

        return kept.Append(text, start, text.Length - start).ToString();
    }

    private static bool IsBlank(char c) => c is ' ' or '\t' or '\n' or '\r' or '\f';

    // After the backslash: up to six hexadecimal digits and one blank, or any other character as it is.
    private void AppendEscaped(StringBuilder value)
    {
        int start = Position;
        while (!AtEnd && Position - start < 6 && char.IsAsciiHexDigit(text[Position]))
        {
            Position++;
        }

        if (Position == start)
        {
            value.Append(text[Position++]);
            return;
        }

        int code = int.Parse(text[start..Position], NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture);
        value.Append(Rune.IsValid(code) && code != 0 ? new Rune(code).ToString() : "\uFFFD");
        if (!AtEnd && IsBlank(text[Position]))
        {
            Position++;
        }
    }

    private void SkipLineEnd()
    {
        if (TryTake('\r'))
        {
            TryTake('\n');
        }
        else if (!AtEnd)
        {
            Position++;
        }
    }
}
