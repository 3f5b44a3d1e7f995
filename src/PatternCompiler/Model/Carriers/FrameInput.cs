using System.Buffers.Binary;
using System.Diagnostics.CodeAnalysis;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Model.Carriers;

/// <summary>
/// Reads what <see cref="FrameOutput"/> writes. A frame is checked as a whole before any of its items is handed out,
/// and every fault names the byte.
/// </summary>
internal sealed class FrameInput(CarrierInput input, string name)
{
    private readonly byte[] buffer = new byte[sizeof(uint) + FrameOutput.LargestFrame + sizeof(uint)];
    private long frameStart;
    private int next;
    private int end;

    /// <summary>Items that the end of the document claims; known once <see cref="TryNextFrame"/> has returned false.</summary>
    public long ClaimedItems { get; private set; }

    /// <summary>True while the current frame has bytes left.</summary>
    public bool HasMore => next < end;

    /// <summary>Skips the magic, which the caller has recognised, after checking its version.</summary>
    public void Magic()
    {
        Span<byte> magic = stackalloc byte[CarrierMagic.Length];
        ReadAll(magic);
        if (magic[CarrierMagic.KindLength] != CarrierMagic.Version || magic[^1] != 0)
        {
            throw new CompileException(
                DocumentCodes.UnsupportedVersion,
                $"this is version {magic[CarrierMagic.KindLength]} of the binary form, known is version {CarrierMagic.Version}",
                new SourcePlace(name),
                "write the document again with this version of the program, or update the program");
        }
    }

    /// <summary>Moves to the next frame; false at the end of the document, after which nothing may follow.</summary>
    public bool TryNextFrame()
    {
        if (HasMore)
        {
            Corrupt(Place, "a frame holds more than its items");
        }

        frameStart = input.Position;
        ReadAll(buffer.AsSpan(0, sizeof(uint)));
        uint length = BinaryPrimitives.ReadUInt32LittleEndian(buffer);
        if (length > FrameOutput.LargestFrame)
        {
            Corrupt(frameStart, $"a frame claims {length} bytes, the most is {FrameOutput.LargestFrame}");
        }

        int content = length == 0 ? sizeof(long) : (int)length;
        ReadAll(buffer.AsSpan(sizeof(uint), content + sizeof(uint)));
        uint stated = BinaryPrimitives.ReadUInt32LittleEndian(buffer.AsSpan(sizeof(uint) + content));
        if (Crc32C.Of(buffer.AsSpan(0, sizeof(uint) + content)) != stated)
        {
            Corrupt(frameStart, "the checksum of a frame does not match its content");
        }

        next = sizeof(uint);
        end = sizeof(uint) + content;
        if (length > 0)
        {
            return true;
        }

        ClaimedItems = BinaryPrimitives.ReadInt64LittleEndian(buffer.AsSpan(sizeof(uint)));
        end = next;
        CheckNothingFollows();
        return false;
    }

    /// <summary>Reads one byte.</summary>
    public byte Byte()
    {
        Need(1);
        return buffer[next++];
    }

    /// <summary>Reads an unsigned variable-length integer.</summary>
    public ulong Unsigned()
    {
        ulong value = 0;
        for (int shift = 0; ; shift += 7)
        {
            byte part = Byte();
            if (shift == 63 && part > 1)
            {
                Corrupt(Place, "a number is longer than 64 bits");
            }

            value |= (ulong)(part & 0x7F) << shift;
            if (part < 0x80)
            {
                return value;
            }
        }
    }

    /// <summary>Reads a signed variable-length integer.</summary>
    public long Signed()
    {
        ulong folded = Unsigned();
        return (long)(folded >> 1) ^ -(long)(folded & 1);
    }

    /// <summary>Reads an integer within limits.</summary>
    public long Checked(string what, long value, long least, long most)
    {
        if (value < least || value > most)
        {
            throw new CompileException(
                DocumentCodes.OutOfRange, $"{what} is {value}, allowed is {least} to {most}", PlaceOf(Place));
        }

        return value;
    }

    /// <summary>Reads a number of 64 bits.</summary>
    public double Real()
    {
        Need(sizeof(double));
        double value = BinaryPrimitives.ReadDoubleLittleEndian(buffer.AsSpan(next));
        next += sizeof(double);
        if (!double.IsFinite(value))
        {
            Corrupt(Place, "a number is not finite");
        }

        return value;
    }

    /// <summary>Reads a number of 128 bits.</summary>
    public UInt128 Wide()
    {
        Need(FrameOutput.WideBytes);
        UInt128 value = BinaryPrimitives.ReadUInt128BigEndian(buffer.AsSpan(next));
        next += FrameOutput.WideBytes;
        return value;
    }

    /// <summary>Moves to the next frame if this one is used up: a header needs several where names are long.</summary>
    public void ContinueHeader()
    {
        if (!HasMore && !TryNextFrame())
        {
            Corrupt(frameStart, "the document ends within its header");
        }
    }

    /// <summary>Reads a name; it may begin in the next frame.</summary>
    public string Name()
    {
        ContinueHeader();
        ulong length = Unsigned();
        if (length > (ulong)(end - next) || length % 2 != 0)
        {
            Corrupt(Place, "a name does not fit its frame");
        }

        string text = Encoding.BigEndianUnicode.GetString(buffer, next, (int)length);
        next += (int)length;
        return text;
    }

    /// <summary>Throws for content that no writer makes.</summary>
    [DoesNotReturn]
    public void Corrupt(string message) => Corrupt(Place, message);

    /// <summary>Place for a diagnostic about what was read last.</summary>
    public SourcePlace CurrentPlace => PlaceOf(Place);

    private long Place => frameStart + next;

    private SourcePlace PlaceOf(long position) => new(name, Entity: $"byte {position}");

    private void Need(int bytes)
    {
        if (end - next < bytes)
        {
            Corrupt(Place, "an item does not fit its frame");
        }
    }

    private void ReadAll(Span<byte> target)
    {
        if (input.ReadFully(target) < target.Length)
        {
            throw new CompileException(
                DocumentCodes.Truncated,
                "the document stops here, before its end mark",
                PlaceOf(input.Position),
                "make it again; the stage or copy that wrote it did not finish");
        }
    }

    private void CheckNothingFollows()
    {
        Span<byte> one = stackalloc byte[1];
        long position = input.Position;
        if (input.Read(one) != 0)
        {
            throw new CompileException(
                DocumentCodes.AfterEnd, "more bytes follow the end of the document", PlaceOf(position), "give one document at a time");
        }
    }

    [DoesNotReturn]
    private void Corrupt(long position, string message) => throw new CompileException(
        DocumentCodes.Corrupt, message, PlaceOf(position), "make the document again; it was damaged on its way");
}
