using System.Buffers.Text;
using System.Text;
using PatternCompiler.Units;

namespace PatternCompiler.Model.Carriers;

/// <summary>Writes the text carriers: fields with one space between them, one item a line, "\n" at every line's end.</summary>
internal sealed class Utf8Output(Stream target)
{
    private const int BufferBytes = 1 << 16;
    private const int LongestNumber = 32;

    private readonly byte[] buffer = new byte[BufferBytes];
    private int used;

    /// <summary>Writes bytes as they are.</summary>
    public void Raw(ReadOnlySpan<byte> text)
    {
        while (text.Length > buffer.Length - used)
        {
            int part = buffer.Length - used;
            text[..part].CopyTo(buffer.AsSpan(used));
            used = buffer.Length;
            text = text[part..];
            Flush();
        }

        text.CopyTo(buffer.AsSpan(used));
        used += text.Length;
    }

    /// <summary>Writes text as it is.</summary>
    public void Text(string text) => Raw(Encoding.UTF8.GetBytes(text));

    /// <summary>Writes a space and a whole number.</summary>
    public void Integer(long value)
    {
        MakeRoom(LongestNumber);
        buffer[used++] = (byte)' ';
        Utf8Formatter.TryFormat(value, buffer.AsSpan(used), out int written);
        used += written;
    }

    /// <summary>
    /// Writes a space and <paramref name="scaled"/>·10^−<paramref name="decimals"/>, exactly, without trailing zeros.
    /// </summary>
    public void Fixed(long scaled, int decimals)
    {
        Raw(" "u8);
        FixedBare(scaled, decimals);
    }

    /// <summary>As <see cref="Fixed"/>, without the space.</summary>
    public void FixedBare(long scaled, int decimals)
    {
        MakeRoom(LongestNumber);
        used += FixedPointText.Format(scaled, decimals, buffer.AsSpan(used));
    }

    /// <summary>Writes a space and the shortest text that reads back to the same number.</summary>
    public void Real(double value)
    {
        Raw(" "u8);
        Text(NumberText.Format(value));
    }

    /// <summary>Writes a space and a name in double quotes; quotes, backslashes and control characters are escaped.</summary>
    public void Quoted(string name)
    {
        Raw(" "u8);
        Text(QuotedText.Quote(name));
    }

    /// <summary>Ends a line.</summary>
    public void EndLine() => Raw("\n"u8);

    /// <summary>Hands everything so far to the target.</summary>
    public void Flush()
    {
        target.Write(buffer, 0, used);
        used = 0;
    }

    private void MakeRoom(int bytes)
    {
        if (buffer.Length - used < bytes)
        {
            Flush();
        }
    }
}
