using System.Buffers.Binary;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Dxf.Tags;

/// <summary>
/// Reads the binary form of DXF: after the sentinel, pairs of a group code (two bytes; in R12 files one byte, with 255 as an
/// escape to two) and a value whose form follows from the code. Numbers are little-endian, strings end with NUL.
/// </summary>
internal sealed class BinaryTagReader : DxfTagReader
{
    private const int BufferSize = 1 << 16;
    private const byte LongCodeEscape = 255;

    private readonly byte[] buffer = new byte[BufferSize];
    private readonly bool shortCodes;
    private int next;
    private int filled;
    private bool ended;
    private long bytesBefore;
    private int valueStart;
    private int valueLength;
    private double real;
    private long integer;
    private DxfValueKind kind;

    /// <param name="input">What follows the sentinel.</param>
    /// <param name="name">File name for messages.</param>
    /// <param name="sentinelLength">Bytes read before, for positions in messages.</param>
    public BinaryTagReader(Stream input, string name, int sentinelLength)
        : base(input, name)
    {
        bytesBefore = sentinelLength;

        // The first pair is 0 SECTION, or a comment: after a one-byte 0 the letter S follows at once, and a comment needs the escape.
        shortCodes = TryNeed(2) && buffer[next + 1] != 0 && BinaryPrimitives.ReadInt16LittleEndian(buffer.AsSpan(next)) != CommentCode;
    }

    /// <inheritdoc/>
    public override ReadOnlySpan<byte> Value => buffer.AsSpan(valueStart, valueLength);

    /// <inheritdoc/>
    protected override bool ReadPair()
    {
        if (!TryNeed(1))
        {
            return false;
        }

        Code = ReadCode();
        kind = DxfValueKinds.Of(Code) ?? throw new CompileException(DxfCodes.BadGroupCode,
            $"found {Code} where a group code is expected", Place(), "the file is damaged: export the drawing again");
        valueLength = 0;
        switch (kind)
        {
            case DxfValueKind.Text:
                ReadString();
                break;
            case DxfValueKind.Real:
                real = BinaryPrimitives.ReadDoubleLittleEndian(Take(8));
                break;
            case DxfValueKind.Int16:
                integer = BinaryPrimitives.ReadInt16LittleEndian(Take(2));
                break;
            case DxfValueKind.Int32:
                integer = BinaryPrimitives.ReadInt32LittleEndian(Take(4));
                break;
            case DxfValueKind.Int64:
                integer = BinaryPrimitives.ReadInt64LittleEndian(Take(8));
                break;
            case DxfValueKind.Flag:
                integer = Take(1)[0];
                break;
            case DxfValueKind.Bytes:
                int length = Take(1)[0];
                Take(length);
                break;
        }

        return true;
    }

    /// <inheritdoc/>
    public override double Real() => kind switch
    {
        DxfValueKind.Real when double.IsFinite(real) => real,
        DxfValueKind.Int16 or DxfValueKind.Int32 or DxfValueKind.Int64 => integer,
        _ => throw new CompileException(DxfCodes.BadValue, $"group code {Code} takes a finite number", Place()),
    };

    /// <inheritdoc/>
    public override long Integer() => kind switch
    {
        DxfValueKind.Int16 or DxfValueKind.Int32 or DxfValueKind.Int64 or DxfValueKind.Flag => integer,
        _ => throw BadInteger(),
    };

    /// <inheritdoc/>
    public override SourcePlace Place(string? entity = null)
    {
        string at = $"byte {bytesBefore + next}";
        return new(Name, 0, 0, entity is null ? at : $"{entity}, {at}");
    }

    private int ReadCode()
    {
        if (!shortCodes)
        {
            return BinaryPrimitives.ReadInt16LittleEndian(Take(2));
        }

        int code = Take(1)[0];
        return code == LongCodeEscape ? BinaryPrimitives.ReadInt16LittleEndian(Take(2)) : code;
    }

    private void ReadString()
    {
        int searched = 0;
        int length;
        while ((length = buffer.AsSpan(next + searched, filled - next - searched).IndexOf((byte)0)) < 0)
        {
            searched = filled - next;
            if (searched == BufferSize)
            {
                throw new CompileException(DxfCodes.BadValue, $"a string longer than {BufferSize} bytes", Place(), "the file is damaged: export the drawing again");
            }

            if (!TryNeed(searched + 1))
            {
                throw CutOff();
            }
        }

        length += searched;
        valueStart = next;
        valueLength = length;
        next += length + 1;
        while (valueLength > 0 && buffer[valueStart] == ' ')
        {
            valueStart++;
            valueLength--;
        }

        while (valueLength > 0 && buffer[valueStart + valueLength - 1] == ' ')
        {
            valueLength--;
        }
    }

    private ReadOnlySpan<byte> Take(int count)
    {
        if (!TryNeed(count))
        {
            throw CutOff();
        }

        next += count;
        return buffer.AsSpan(next - count, count);
    }

    private bool TryNeed(int count)
    {
        while (filled - next < count && !ended)
        {
            Buffer.BlockCopy(buffer, next, buffer, 0, filled - next);
            bytesBefore += next;
            filled -= next;
            next = 0;
            int read = Input.Read(buffer, filled, BufferSize - filled);
            ended = read == 0;
            filled += read;
        }

        return filled - next >= count;
    }

    private CompileException CutOff() => new(DxfCodes.Truncated, $"the file ends within the value of group code {Code}", Place(),
        "it was cut off: export or copy it again");
}
