using System.Buffers.Text;
using System.Diagnostics.CodeAnalysis;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Model.Carriers;

/// <summary>Takes the fields of one line from left to right; every fault names line and column.</summary>
internal ref struct LineCursor
{
    private const int LongestQuote = 40;
    private const int MostSafeDigits = 18;

    private readonly ReadOnlySpan<byte> line;
    private readonly Utf8LineReader reader;
    private int next;
    private int fieldStart;

    public LineCursor(ReadOnlySpan<byte> line, Utf8LineReader reader)
    {
        this.line = line;
        this.reader = reader;
    }

    /// <summary>The next field, up to a space; empty at the end of the line.</summary>
    public ReadOnlySpan<byte> Field()
    {
        while (next < line.Length && line[next] == ' ')
        {
            next++;
        }

        fieldStart = next;
        int length = line[next..].IndexOf((byte)' ');
        next = length < 0 ? line.Length : next + length;
        return line[fieldStart..next];
    }

    /// <summary>The next field as a whole number within limits.</summary>
    public long Integer(string what, long least, long most)
    {
        if (!TryFewDigits(out long value))
        {
            ReadOnlySpan<byte> field = Field();
            if (!Utf8Parser.TryParse(field, out value, out int used) || used != field.Length || field[0] == '+')
            {
                FailExpected($"a whole number for {what}", field);
            }
        }

        if (value < least || value > most)
        {
            FailRange(what, line[fieldStart..next], $"{least} to {most}");
        }

        return value;
    }

    /// <summary>Takes the next field if it is nothing but digits that cannot overflow: most fields are, and its end need not be looked for first.</summary>
    private bool TryFewDigits(out long value)
    {
        ReadOnlySpan<byte> text = line;
        int first = next;
        while (first < text.Length && text[first] == ' ')
        {
            first++;
        }

        bool isNegative = first < text.Length && text[first] == '-';
        int digits = first + (isNegative ? 1 : 0);
        int end = digits;
        long magnitude = 0;
        for (; end < text.Length && text[end] - '0' is var digit and >= 0 and <= 9; end++)
        {
            magnitude = (10 * magnitude) + digit;
        }

        value = isNegative ? -magnitude : magnitude;
        if (end == digits || end - digits > MostSafeDigits || (end < text.Length && text[end] != ' '))
        {
            return false;
        }

        (fieldStart, next) = (first, end);
        return true;
    }

    /// <summary>The next field as a decimal number with a limited number of places, scaled to an integer.</summary>
    public long Fixed(string what, int decimals, long least, long most)
    {
        ReadOnlySpan<byte> field = Field();
        if (!FixedPointText.TryParse(field, decimals, out long value))
        {
            FailExpected($"a number with at most {decimals} decimals for {what}", field);
        }

        if (value < least || value > most)
        {
            FailRange(what, field, $"{Shown(least, decimals)} to {Shown(most, decimals)}");
        }

        return value;
    }

    /// <summary>The next field as any finite number.</summary>
    public double Real(string what)
    {
        ReadOnlySpan<byte> field = Field();
        if (!NumberText.TryParseReal(Encoding.UTF8.GetString(field), out double value))
        {
            FailExpected($"a number for {what}", field);
        }

        return value;
    }

    /// <summary>The next field as a digest of settings.</summary>
    public SettingsDigest Digest(string what)
    {
        ReadOnlySpan<byte> field = Field();
        if (!SettingsDigest.TryParse(field, out SettingsDigest digest))
        {
            FailExpected($"{2 * SettingsDigest.ByteCount} hexadecimal digits for the digest of {what}", field);
        }

        return digest;
    }

    /// <summary>The next field, which has to be this word.</summary>
    public void Expect(ReadOnlySpan<byte> word)
    {
        ReadOnlySpan<byte> field = Field();
        if (!field.SequenceEqual(word))
        {
            FailExpected($"\"{Encoding.UTF8.GetString(word)}\"", field);
        }
    }

    /// <summary>The next field as one of several words; returns the word's index.</summary>
    public int OneOf(string what, params ReadOnlySpan<string> words)
    {
        string field = Encoding.UTF8.GetString(Field());
        int index = words.IndexOf(field);
        if (index < 0)
        {
            Fail(DocumentCodes.Malformed, $"expected {what}, found {Quote(field)}", $"write one of: {string.Join(", ", words)}");
        }

        return index;
    }

    /// <summary>A name in double quotes.</summary>
    public string Quoted(string what)
    {
        while (next < line.Length && line[next] == ' ')
        {
            next++;
        }

        fieldStart = next;
        string rest = Encoding.UTF8.GetString(line[next..]);
        if (!QuotedText.TryUnquote(rest, out string name, out int length))
        {
            FailExpected($"{what} in double quotes", line[next..]);
        }

        next += Encoding.UTF8.GetByteCount(rest.AsSpan(0, length));
        return name;
    }

    /// <summary>Checks that nothing is left on the line.</summary>
    public void End()
    {
        ReadOnlySpan<byte> field = Field();
        if (field.Length > 0)
        {
            FailExpected("the end of the line", field);
        }
    }

    /// <summary>Throws a syntax fault at the field taken last.</summary>
    [DoesNotReturn]
    public readonly void FailExpected(string expected, ReadOnlySpan<byte> found) =>
        Fail(
            DocumentCodes.Malformed,
            $"expected {expected}, found {(found.Length == 0 ? "the end of the line" : Quote(Encoding.UTF8.GetString(found)))}",
            null);

    /// <summary>Throws a fault at the field taken last.</summary>
    [DoesNotReturn]
    public readonly void Fail(DiagnosticCode code, string message, string? fix)
    {
        string text = Encoding.UTF8.GetString(line);
        int column = Encoding.UTF8.GetCharCount(line[..Math.Min(fieldStart, line.Length)]) + 1;
        throw new CompileException(code, message, new SourcePlace(reader.Name, reader.LineNumber, column), fix, text);
    }

    [DoesNotReturn]
    private readonly void FailRange(string what, ReadOnlySpan<byte> found, string range) =>
        Fail(DocumentCodes.OutOfRange, $"{what} is {Encoding.UTF8.GetString(found)}, allowed is {range}", null);

    private static string Quote(string text) =>
        QuotedText.Quote(text.Length <= LongestQuote ? text : text[..LongestQuote] + "…");

    private static string Shown(long scaled, int decimals)
    {
        Span<byte> text = stackalloc byte[32];
        return Encoding.UTF8.GetString(text[..FixedPointText.Format(scaled, decimals, text)]);
    }
}
