using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Svg.Syntax;

/// <summary>
/// Walks through the numbers and words of an attribute. Numbers follow the grammar of SVG 2, 9.3.9: they need no blank
/// between them where a sign, a second point or a letter already parts them ("1.5.5" is 1.5 and 0.5).
/// </summary>
internal ref struct SvgScanner(ReadOnlySpan<char> text)
{
    private readonly ReadOnlySpan<char> text = text;

    /// <summary>Where it stands.</summary>
    public int Position { get; private set; }

    /// <summary>Skips blanks; true if nothing follows.</summary>
    public bool AtEnd
    {
        get
        {
            SkipBlanks();
            return Position == text.Length;
        }
    }

    /// <summary>Skips blanks and gives the character that follows, NUL at the end.</summary>
    public char Peek() => AtEnd ? '\0' : text[Position];

    /// <summary>Takes one character.</summary>
    public char Take() => text[Position++];

    /// <summary>Takes the character if it follows.</summary>
    public bool TryTake(char character)
    {
        bool follows = Peek() == character;
        Position += follows ? 1 : 0;
        return follows;
    }

    /// <summary>Skips blanks and at most one comma.</summary>
    public void SkipSeparator()
    {
        SkipBlanks();
        if (Position < text.Length && text[Position] == ',')
        {
            Position++;
            SkipBlanks();
        }
    }

    /// <summary>Takes a number; false, unmoved, if none follows or it is not finite.</summary>
    public bool TryTakeNumber(out double value)
    {
        SkipBlanks();
        int start = Position;
        int position = start;
        position += position < text.Length && text[position] is '+' or '-' ? 1 : 0;
        int digits = position;
        position = SkipDigits(position);
        if (position < text.Length && text[position] == '.')
        {
            position = SkipDigits(position + 1);
        }

        bool hasDigits = position - digits > 1 || (position - digits == 1 && text[digits] != '.');
        if (position < text.Length && text[position] is 'e' or 'E')
        {
            int exponent = position + 1;
            exponent += exponent < text.Length && text[exponent] is '+' or '-' ? 1 : 0;
            int end = SkipDigits(exponent);
            position = end > exponent ? end : position;
        }

        value = 0;
        if (!hasDigits || !NumberText.TryParseReal(text[start..position], out value))
        {
            return false;
        }

        Position = position;
        return true;
    }

    /// <summary>Takes a flag of an arc: a single 0 or 1, which needs nothing after it.</summary>
    public bool TryTakeFlag(out bool value)
    {
        char next = Peek();
        value = next == '1';
        if (next is not ('0' or '1'))
        {
            return false;
        }

        Position++;
        return true;
    }

    /// <summary>Takes letters and '%'.</summary>
    public ReadOnlySpan<char> TakeWord()
    {
        int start = Position;
        while (Position < text.Length && (char.IsAsciiLetter(text[Position]) || text[Position] == '%'))
        {
            Position++;
        }

        return text[start..Position];
    }

    /// <summary>What stands at the scanner, for messages.</summary>
    public readonly string Excerpt() => Position >= text.Length ? "the end" : $"'{text[Position..Math.Min(text.Length, Position + 12)].ToString().Trim()}'";

    private readonly int SkipDigits(int position)
    {
        while (position < text.Length && char.IsAsciiDigit(text[position]))
        {
            position++;
        }

        return position;
    }

    private void SkipBlanks()
    {
        while (Position < text.Length && text[Position] is ' ' or '\t' or '\n' or '\r' or '\f')
        {
            Position++;
        }
    }
}
