using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Dxf.Tags;

/// <summary>
/// Walks over the pairs of group code and value that make up a DXF file. Only the current pair is held; its text is valid
/// until the next <see cref="Read"/>.
/// </summary>
internal abstract class DxfTagReader
{
    /// <summary>Group code of a comment, which may stand between any two pairs and means nothing.</summary>
    protected const int CommentCode = 999;

    private const int LongestQuote = 40;

    protected DxfTagReader(Stream input, string name)
    {
        Input = input;
        Name = name;
    }

    /// <summary>File name for messages.</summary>
    public string Name { get; }

    /// <summary>Group code of the current pair.</summary>
    public int Code { get; protected set; }

    /// <summary>Line of the current pair's value, counted from 1; 0 in a binary file.</summary>
    public int Line { get; protected set; }

    /// <summary>How text is encoded.</summary>
    public Encoding TextEncoding { get; set; } = Encoding.UTF8;

    protected Stream Input { get; }

    /// <summary>Goes to the next pair, comment or not; false at the end of the file.</summary>
    protected abstract bool ReadPair();

    /// <summary>The current value as text without surrounding blanks.</summary>
    public abstract ReadOnlySpan<byte> Value { get; }

    /// <summary>Goes to the next pair that is no comment; false at the end of the file.</summary>
    public bool Read()
    {
        bool isRead;
        do
        {
            isRead = ReadPair();
        }
        while (isRead && Code == CommentCode);

        return isRead;
    }

    /// <summary>The current value as a finite number.</summary>
    public abstract double Real();

    /// <summary>The current value as a whole number.</summary>
    public abstract long Integer();

    /// <summary>The current value as text.</summary>
    public string Text() => DxfText.Decode(Value, TextEncoding);

    /// <summary>True for the pair that starts or ends something, with just this name.</summary>
    public bool IsMark(ReadOnlySpan<byte> name) => Code == 0 && Value.SequenceEqual(name);

    /// <summary>Where the reader stands, for a message.</summary>
    public abstract SourcePlace Place(string? entity = null);

    /// <summary>Goes to the next pair; the end of the file is an error.</summary>
    public void ReadWithin(string what)
    {
        if (!Read())
        {
            throw new CompileException(DxfCodes.Truncated, $"the file ends within {what}", Place(),
                "it was cut off: export or copy it again");
        }
    }

    protected CompileException BadReal() => BadValue("a number");

    protected CompileException BadInteger() => BadValue("a whole number");

    private CompileException BadValue(string expected)
    {
        bool comma = Value.IndexOf((byte)',') >= 0;
        return new CompileException(DxfCodes.BadValue,
            $"group code {Code} takes {expected}, found {Quote(Value)}", Place(),
            comma ? "write decimals with a point" : null);
    }

    /// <summary>Bytes of the input made printable for a message.</summary>
    protected static string Quote(ReadOnlySpan<byte> value)
    {
        var text = new StringBuilder("\"");
        foreach (byte b in value[..Math.Min(value.Length, LongestQuote)])
        {
            text.Append(b is >= 0x20 and < 0x7f ? (char)b : '?');
        }

        return text.Append(value.Length > LongestQuote ? "…\"" : "\"").ToString();
    }
}
