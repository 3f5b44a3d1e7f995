using System.Buffers.Binary;
using System.Text;

namespace PatternCompiler.Model.Carriers;

/// <summary>
/// Writes the binary carriers: the magic, then frames of a length (32 bits), that many bytes of items, and their
/// CRC-32C; a frame never splits an item. A frame of length 0 with the number of items (64 bits) and its CRC-32C ends
/// the document. All fixed-size numbers are little-endian; items consist of variable-length integers of 7 bits a byte,
/// lowest first, signed ones folded so that small magnitudes are short.
/// </summary>
internal sealed class FrameOutput(Stream target)
{
    /// <summary>Most bytes of items in a frame.</summary>
    public const int LargestFrame = 1 << 16;

    /// <summary>Bytes of a number of 128 bits.</summary>
    public const int WideBytes = 16;

    private const int LengthBytes = sizeof(uint);
    private const int LongestItem = 128;
    private const int LongestVarint = 10;

    private readonly byte[] buffer = new byte[LengthBytes + LargestFrame + sizeof(uint)];
    private int used = LengthBytes;

    /// <summary>Writes the magic.</summary>
    public void Magic(ReadOnlySpan<byte> magic) => target.Write(magic);

    /// <summary>Call before each item: closes the frame when the item might not fit.</summary>
    public void BeginItem()
    {
        if (used > LengthBytes + LargestFrame - LongestItem)
        {
            EndFrame();
        }
    }

    /// <summary>Writes one byte.</summary>
    public void Byte(byte value) => buffer[used++] = value;

    /// <summary>Writes an unsigned variable-length integer.</summary>
    public void Unsigned(ulong value)
    {
        while (value >= 0x80)
        {
            buffer[used++] = (byte)(value | 0x80);
            value >>= 7;
        }

        buffer[used++] = (byte)value;
    }

    /// <summary>Writes a signed variable-length integer.</summary>
    public void Signed(long value) => Unsigned((ulong)((value << 1) ^ (value >> 63)));

    /// <summary>Writes a number as its 64 bits.</summary>
    public void Real(double value)
    {
        BinaryPrimitives.WriteDoubleLittleEndian(buffer.AsSpan(used), value);
        used += sizeof(double);
    }

    /// <summary>Writes a number of 128 bits, its highest byte first.</summary>
    public void Wide(UInt128 value)
    {
        BinaryPrimitives.WriteUInt128BigEndian(buffer.AsSpan(used), value);
        used += WideBytes;
    }

    /// <summary>Writes a name: its UTF-16 length, then each unit. Begins a new frame where it needs one.</summary>
    public void Name(string name)
    {
        byte[] bytes = Encoding.BigEndianUnicode.GetBytes(name);
        if (used + bytes.Length + LongestVarint > LengthBytes + LargestFrame)
        {
            EndFrame();
        }

        Unsigned((ulong)bytes.Length);
        bytes.CopyTo(buffer.AsSpan(used));
        used += bytes.Length;
    }

    /// <summary>Ends the frame under construction, if it holds anything.</summary>
    public void EndFrame()
    {
        int length = used - LengthBytes;
        if (length == 0)
        {
            return;
        }

        BinaryPrimitives.WriteUInt32LittleEndian(buffer, (uint)length);
        BinaryPrimitives.WriteUInt32LittleEndian(buffer.AsSpan(used), Crc32C.Of(buffer.AsSpan(0, used)));
        target.Write(buffer, 0, used + sizeof(uint));
        used = LengthBytes;
    }

    /// <summary>Ends the document.</summary>
    public void EndDocument(long items)
    {
        EndFrame();
        Span<byte> end = stackalloc byte[LengthBytes + sizeof(long) + sizeof(uint)];
        BinaryPrimitives.WriteUInt32LittleEndian(end, 0);
        BinaryPrimitives.WriteInt64LittleEndian(end[LengthBytes..], items);
        BinaryPrimitives.WriteUInt32LittleEndian(end[(LengthBytes + sizeof(long))..], Crc32C.Of(end[..(LengthBytes + sizeof(long))]));
        target.Write(end);
    }
}
