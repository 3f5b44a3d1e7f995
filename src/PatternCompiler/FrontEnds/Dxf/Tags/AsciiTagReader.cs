using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Dxf.Tags;

/// <summary>
/// Reads the text form of DXF: two lines a pair. Lines end with LF, CR LF or CR, also mixed; the last line may lack its end.
/// </summary>
internal sealed class AsciiTagReader : DxfTagReader
{
    private const int BufferSize = 1 << 16;

    private readonly byte[] buffer = new byte[BufferSize];
    private int next;
    private int filled;
    private bool ended;
    private int linesRead;
    private int valueStart;
    private int valueLength;

    /// <param name="input">The rest of the file.</param>
    /// <param name="name">File name for messages.</param>
    /// <param name="start">The file's first bytes, already read.</param>
    public AsciiTagReader(Stream input, string name, ReadOnlySpan<byte> start)
        : base(input, name)
    {
        start.CopyTo(buffer);
        filled = start.Length;
    }

    /// <inheritdoc/>
    public override ReadOnlySpan<byte> Value => buffer.AsSpan(valueStart, valueLength);

    /// <inheritdoc/>
    protected override bool ReadPair()
    {
        if (!ReadLine())
        {
            return false;
        }

        Line = linesRead;
        if (!TryParseGroupCode(Value, out int code))
        {
            if (valueLength == 0 && AtEnd())
            {
                // Blank lines after the last pair do no harm.
                return false;
            }

            if (Line == 1)
            {
                throw new CompileException(DxfCodes.NotDxf, $"a DXF drawing begins with group code 0, found {Quote(Value)}", Place(),
                    "export the drawing again as DXF");
            }

            throw new CompileException(DxfCodes.BadGroupCode,
                $"expected a group code (a whole number from -5 to 1071), found {Quote(Value)}", Place(),
                "a line was lost or added before this one: export the drawing again");
        }

        Code = code;
        if (!ReadLine())
        {
            throw new CompileException(DxfCodes.Truncated, $"the file ends after group code {code}, before its value", Place(),
                "it was cut off: export or copy it again");
        }

        Line = linesRead;
        return true;
    }

    /// <inheritdoc/>
    public override double Real() => DecimalText.TryParseReal(Value, out double value) ? value : throw BadReal();

    /// <inheritdoc/>
    public override long Integer()
    {
        if (DecimalText.TryParseInteger(Value, out long value))
        {
            return value;
        }

        // Some writers give counts as "4.0".
        return DecimalText.TryParseReal(Value, out double real) && real == Math.Floor(real) && Math.Abs(real) < 1e15
            ? (long)real
            : throw BadInteger();
    }

    /// <inheritdoc/>
    public override SourcePlace Place(string? entity = null) => new(Name, Line, 0, entity);

    private static bool TryParseGroupCode(ReadOnlySpan<byte> text, out int code)
    {
        bool negative = text.Length > 1 && text[0] == '-';
        ReadOnlySpan<byte> digits = negative ? text[1..] : text;
        code = 0;
        if (digits.Length is 0 or > 4)
        {
            return false;
        }

        foreach (byte b in digits)
        {
            uint digit = (uint)(b - '0');
            if (digit > 9)
            {
                return false;
            }

            code = (code * 10) + (int)digit;
        }

        code = negative ? -code : code;
        return code is >= -5 and <= 1071;
    }

    private bool AtEnd()
    {
        while (ReadLine())
        {
            if (valueLength > 0)
            {
                return false;
            }
        }

        return true;
    }

    private bool ReadLine()
    {
        int length;
        while ((length = buffer.AsSpan(next, filled - next).IndexOfAny((byte)'\n', (byte)'\r')) < 0
            || (buffer[next + length] == '\r' && next + length + 1 == filled && !ended))
        {
            if (ended)
            {
                if (next == filled)
                {
                    valueLength = 0;
                    return false;
                }

                length = filled - next;
                break;
            }

            Refill();
        }

        SetTrimmed(next, length);
        int end = next + length;
        if (end < filled)
        {
            end += buffer[end] == '\r' && end + 1 < filled && buffer[end + 1] == '\n' ? 2 : 1;
        }

        next = end;
        linesRead++;
        return true;
    }

    private void SetTrimmed(int start, int length)
    {
        while (length > 0 && buffer[start] is (byte)' ' or (byte)'\t')
        {
            start++;
            length--;
        }

        while (length > 0 && buffer[start + length - 1] is (byte)' ' or (byte)'\t')
        {
            length--;
        }

        valueStart = start;
        valueLength = length;
    }

    private void Refill()
    {
        int kept = filled - next;
        if (kept == BufferSize)
        {
            throw new CompileException(DxfCodes.NotDxf, $"a line longer than {BufferSize} bytes follows",
                new SourcePlace(Name, linesRead + 1), "this is not a DXF text file");
        }

        Buffer.BlockCopy(buffer, next, buffer, 0, kept);
        next = 0;
        filled = kept;
        int count = Input.Read(buffer, filled, BufferSize - filled);
        ended = count == 0;
        filled += count;
    }
}
