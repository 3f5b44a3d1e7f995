using System.Buffers.Binary;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Gdsii;

/// <summary>Walks over the records of a GDSII stream; only the current one is held.</summary>
internal sealed class GdsiiRecordReader
{
    private const int HeaderLength = 4;
    private const int LongestRecord = 65535;
    private const int BufferSize = 1 << 18;

    private readonly Stream input;
    private readonly byte[] buffer = new byte[BufferSize];
    private int next;
    private int filled;
    private bool ended;
    private long bytesBefore;
    private int start;
    private int length;

    public GdsiiRecordReader(Stream input, string name)
    {
        this.input = input;
        Name = name;
    }

    /// <summary>File name for messages.</summary>
    public string Name { get; }

    /// <summary>Type of the current record.</summary>
    public GdsiiRecordType Type { get; private set; }

    /// <summary>Bytes of the current record after its header.</summary>
    public ReadOnlySpan<byte> Data => buffer.AsSpan(start, length);

    /// <summary>Position of the current record in the file.</summary>
    public long Position => bytesBefore + start - HeaderLength;

    /// <summary>Place of the current record, for a message.</summary>
    public SourcePlace Place(string? what = null) =>
        new(Name, 0, 0, what is null ? $"byte {Position}" : $"{what}, byte {Position}");

    /// <summary>Goes to the next record; the end of the file is an error, since the last record is ENDLIB.</summary>
    public void Read()
    {
        if (!TryNeed(HeaderLength))
        {
            throw CutOff();
        }

        int whole = BinaryPrimitives.ReadUInt16BigEndian(buffer.AsSpan(next));
        Type = (GdsiiRecordType)buffer[next + 2];
        if (whole < HeaderLength || (whole & 1) != 0 || Type > GdsiiRecordType.Highest)
        {
            throw new CompileException(
                GdsiiCodes.BadRecord,
                whole < HeaderLength || (whole & 1) != 0
                    ? $"a record of {whole} bytes; lengths are even and {HeaderLength} at least"
                    : $"a record of type {(int)Type}, which the format does not have",
                new(Name, 0, 0, $"byte {bytesBefore + next}"),
                "the stream is damaged: export it again");
        }

        if (!TryNeed(whole))
        {
            throw CutOff();
        }

        start = next + HeaderLength;
        length = whole - HeaderLength;
        next += whole;
    }

    /// <summary>First two-byte integer of the record.</summary>
    public int Short() => BinaryPrimitives.ReadInt16BigEndian(AtLeast(2));

    /// <summary>First four-byte integer of the record.</summary>
    public int Integer() => BinaryPrimitives.ReadInt32BigEndian(AtLeast(4));

    /// <summary>First real of the record.</summary>
    public double Real() => GdsiiReal.Read(AtLeast(8));

    /// <summary>The record as text; NUL bytes at its end are padding.</summary>
    public string Text() => System.Text.Encoding.Latin1.GetString(Data.TrimEnd((byte)0));

    /// <summary>The record's data, which must have a number of bytes at least.</summary>
    public ReadOnlySpan<byte> AtLeast(int count) => length >= count
        ? Data
        : throw new CompileException(GdsiiCodes.BadRecord, $"record {Type} has {length} bytes of data, it needs {count}", Place(),
            "the stream is damaged: export it again");

    private CompileException CutOff() => new(
        GdsiiCodes.Truncated, "the stream ends before its ENDLIB record", new(Name, 0, 0, $"byte {bytesBefore + filled}"),
        "it was cut off: export or copy it again");

    private bool TryNeed(int count)
    {
        while (filled - next < count && !ended)
        {
            if (BufferSize - next < LongestRecord + 1)
            {
                Buffer.BlockCopy(buffer, next, buffer, 0, filled - next);
                bytesBefore += next;
                filled -= next;
                next = 0;
            }

            int read = input.Read(buffer, filled, BufferSize - filled);
            ended = read == 0;
            filled += read;
        }

        return filled - next >= count;
    }
}
