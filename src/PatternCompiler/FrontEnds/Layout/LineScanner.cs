using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Walks through the bytes of one line. Blanks part words; <c>#</c> ends the line.</summary>
internal ref struct LineScanner(ReadOnlySpan<byte> text, string file, int number)
{
    private readonly ReadOnlySpan<byte> text = text;

    /// <summary>Byte at which the scanner stands.</summary>
    public int Position { get; set; }

    /// <summary>Name of the file the line is from.</summary>
    public readonly string File => file;

    /// <summary>Number of the line in its file.</summary>
    public readonly int Number => number;

    /// <summary>The whole line.</summary>
    public readonly ReadOnlySpan<byte> Text => text;

    /// <summary>Skips blanks; true if nothing but a comment follows.</summary>
    public bool AtEnd
    {
        get
        {
            SkipBlanks();
            return Position == text.Length || text[Position] == (byte)'#';
        }
    }

    /// <summary>Skips blanks and gives the byte that follows, 0 at the end.</summary>
    public byte Peek() => AtEnd ? (byte)0 : text[Position];

    /// <summary>Takes the character if it follows.</summary>
    public bool TryTake(char character)
    {
        if (Peek() != character)
        {
            return false;
        }

        Position++;
        return true;
    }

    /// <summary>Takes the character or fails.</summary>
    public void Expect(char character, string why)
    {
        if (!TryTake(character))
        {
            throw Unexpected($"'{character}' {why}");
        }
    }

    /// <summary>Takes a word of letters, digits, '_' and inner '-'; empty if none follows.</summary>
    public ReadOnlySpan<byte> TakeWord(bool withHyphens)
    {
        SkipBlanks();
        int start = Position;
        if (start < text.Length && !char.IsAsciiDigit((char)text[start]) && IsWordByte(text[start]))
        {
            Position++;
            while (Position < text.Length && (IsWordByte(text[Position]) || (withHyphens && IsInnerHyphen())))
            {
                Position++;
            }
        }

        return text[start..Position];
    }

    /// <summary>Takes a name: a bare one of letters, digits and <c>_ . - / $ : +</c>, or one in quotes.</summary>
    public string TakeName(string what)
    {
        if (Peek() == '"')
        {
            return TakeQuoted(what);
        }

        int start = Position;
        while (Position < text.Length && NameText.IsBareByte(text[Position]))
        {
            Position++;
        }

        return start == Position ? throw Unexpected(what) : Encoding.UTF8.GetString(text[start..Position]);
    }

    /// <summary>Takes a text in quotes, in which <c>\"</c>, <c>\\</c>, <c>\n</c> and <c>\u{B5}</c> stand for a quote, a backslash, a line feed and a character by its number.</summary>
    public string TakeQuoted(string what)
    {
        if (Peek() != '"')
        {
            throw Unexpected(what);
        }

        int start = Position++;
        var bytes = new List<byte>();
        while (Position < text.Length && text[Position] != (byte)'"')
        {
            byte next = text[Position++];
            if (next == (byte)'\\')
            {
                byte escaped = Position < text.Length ? text[Position++] : (byte)0;
                if (escaped == (byte)'u')
                {
                    TakeNumberedCharacter(bytes);
                    continue;
                }

                next = escaped switch
                {
                    (byte)'"' or (byte)'\\' => escaped,
                    (byte)'n' => (byte)'\n',
                    _ => throw Fault(LayoutCodes.Syntax, "a backslash in quotes is followed by \\, \", n or u{number}", Position - 2, "write \\\\ for a backslash"),
                };
            }

            bytes.Add(next);
        }

        if (Position == text.Length)
        {
            throw Fault(LayoutCodes.Syntax, "the closing quote is missing", start, "put a \" after the last character");
        }

        Position++;
        if (bytes.Count == 0)
        {
            throw Fault(LayoutCodes.Syntax, "nothing stands between the quotes", start, $"write {what}");
        }

        return Encoding.UTF8.GetString(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(bytes));
    }

    /// <summary>Takes the rest of <c>\u{1F600}</c>: the number of a character in hexadecimal.</summary>
    private void TakeNumberedCharacter(List<byte> bytes)
    {
        int start = Position;
        int length = text[start..].IndexOf((byte)'}');
        if (length < 2 || text[start] != (byte)'{'
            || !int.TryParse(text.Slice(start + 1, length - 1), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out int number) || !Rune.IsValid(number))
        {
            throw Fault(LayoutCodes.Syntax, "\\u is followed by the number of a character in braces", start - 2, "write for example \\u{B5}");
        }

        Span<byte> units = stackalloc byte[4];
        bytes.AddRange(units[..new Rune(number).EncodeToUtf8(units)]);
        Position = start + length + 1;
    }

    /// <summary>Fails if anything but a comment follows.</summary>
    public void ExpectEnd(string after)
    {
        if (!AtEnd)
        {
            throw Unexpected($"the end of the line after {after}");
        }
    }

    /// <summary>The fault of meeting what follows where something else was expected.</summary>
    public CompileException Unexpected(string expected)
    {
        bool isAtEnd = AtEnd;
        string found = isAtEnd ? "the end of the line" : $"'{Excerpt()}'";
        return Fault(LayoutCodes.Syntax, $"expected {expected}, found {found}", Position);
    }

    /// <summary>A fault at a byte of this line.</summary>
    public readonly CompileException Fault(DiagnosticCode code, string message, int position, string? fix = null) =>
        new(code, message, PlaceOf(position), fix, Encoding.UTF8.GetString(text));

    /// <summary>The place of a byte of this line.</summary>
    public readonly SourcePlace PlaceOf(int position) => new(file, number, 1 + Encoding.UTF8.GetCharCount(text[..position]));

    /// <summary>What stands at the scanner: a word, a number or one character.</summary>
    public readonly string Excerpt()
    {
        int end = Position;
        while (end < text.Length && end - Position < 40 && NameText.IsBareByte(text[end]))
        {
            end++;
        }

        if (end == Position)
        {
            Rune.DecodeFromUtf8(text[Position..], out Rune rune, out _);
            return Rune.IsControl(rune) ? $"character {rune.Value:X2} hex" : rune.ToString();
        }

        return Encoding.UTF8.GetString(text[Position..end]);
    }

    private static bool IsWordByte(byte value) => char.IsAsciiLetterOrDigit((char)value) || value == (byte)'_' || value >= 0x80;

    private readonly bool IsInnerHyphen() =>
        text[Position] == (byte)'-' && Position + 1 < text.Length && char.IsAsciiLetter((char)text[Position + 1]);

    private void SkipBlanks()
    {
        while (Position < text.Length && text[Position] is (byte)' ' or (byte)'\t')
        {
            Position++;
        }
    }
}
