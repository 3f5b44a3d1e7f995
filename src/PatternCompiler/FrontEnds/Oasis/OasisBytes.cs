using System.Buffers.Binary;
using System.IO.Compression;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>
/// Reads the numbers and strings of an OASIS file (SEMI P39), and opens its compressed blocks on the way, so that records are
/// read alike wherever they stand. Only a buffer's worth is held.
/// </summary>
/// <param name="input">The file, from its start.</param>
/// <param name="name">File name for messages.</param>
internal sealed class OasisBytes(Stream input, string name) : IDisposable
{
    private const int BufferSize = 1 << 16;
    private const int LongestName = 1 << 16;
    private const int BitsOfByte = 7;

    // Blocks that expand further than this, all together, were made to exhaust the reader: drawings compress to a tenth or so.
    private const long MostExpanded = 1 << 26;
    private const long MostExpandedPerByte = 200;

    private readonly byte[] buffer = new byte[BufferSize];
    private readonly byte[] blockBuffer = new byte[BufferSize];
    private readonly OasisSignature signature = new();
    private DeflateStream? block;
    private int next;
    private int filled;
    private int signed;
    private long bytesBefore;
    private int blockNext;
    private int blockFilled;
    private long blockLeft;
    private double expanded;

    /// <summary>File name for messages.</summary>
    public string Name => name;

    /// <summary>Position in the file; within a compressed block, behind that block.</summary>
    public long Position => bytesBefore + next;

    /// <summary>True within a compressed block.</summary>
    public bool IsInBlock => block is not null;

    /// <summary>A place in the file, for a message.</summary>
    public SourcePlace PlaceAt(long position) => new(name, 0, 0, $"byte {position}");

    /// <summary>A fault at the current position.</summary>
    public CompileException Fault(string message) => new(OasisCodes.BadRecord, message, PlaceAt(Position), "the file is damaged: export it again");

    /// <summary>One byte.</summary>
    public byte Byte()
    {
        if (block is not null && TryBlockByte(out byte value))
        {
            return value;
        }

        if (next == filled && !Refill())
        {
            throw new CompileException(OasisCodes.Truncated, "the file ends before its END record", PlaceAt(Position), "it was cut off: export or copy it again");
        }

        return buffer[next++];
    }

    /// <summary>An unsigned integer: seven bits a byte, the lowest first.</summary>
    public long Unsigned()
    {
        ulong value = 0;
        for (int shift = 0; ; shift += BitsOfByte)
        {
            byte part = Byte();
            ulong bits = (ulong)(part & 0x7f);
            if (shift > 62 ? bits != 0 : bits << shift >> shift != bits)
            {
                throw Fault("an integer of more than 63 bits");
            }

            value |= shift > 62 ? 0 : bits << shift;
            if ((part & 0x80) == 0)
            {
                return value <= long.MaxValue ? (long)value : throw Fault("an integer of more than 63 bits");
            }

            if (shift > 16 * BitsOfByte)
            {
                throw Fault("an integer without end");
            }
        }
    }

    /// <summary>A signed integer: the sign is the lowest bit.</summary>
    public long Signed()
    {
        long value = Unsigned();
        return (value & 1) == 0 ? value >> 1 : -(value >> 1);
    }

    /// <summary>A number of things that is used as a count.</summary>
    public int Count(string what)
    {
        long value = Unsigned();
        return value <= int.MaxValue - 2 ? (int)value : throw Fault($"{value} {what}");
    }

    /// <summary>A real.</summary>
    public double Real() => Real(Unsigned());

    /// <summary>A real whose type has been read.</summary>
    public double Real(long type)
    {
        Span<byte> bytes = stackalloc byte[8];
        double value = type switch
        {
            0 => Unsigned(),
            1 => -Unsigned(),
            2 => 1.0 / Unsigned(),
            3 => -1.0 / Unsigned(),
            4 => (double)Unsigned() / Unsigned(),
            5 => -(double)Unsigned() / Unsigned(),
            6 => BinaryPrimitives.ReadSingleLittleEndian(Bytes(bytes[..4])),
            7 => BinaryPrimitives.ReadDoubleLittleEndian(Bytes(bytes)),
            _ => throw Fault($"a real of type {type}; there are 0 to 7"),
        };
        return double.IsFinite(value) ? value : throw Fault("a real that is not finite");
    }

    /// <summary>A string, as a name.</summary>
    public string Text()
    {
        long length = Unsigned();
        return length <= LongestName ? Encoding.Latin1.GetString(Bytes(new byte[length])) : throw Fault($"a name of {length} bytes");
    }

    /// <summary>Passes over a string.</summary>
    public void SkipText()
    {
        for (long left = Unsigned(); left > 0; left--)
        {
            Byte();
        }
    }

    /// <summary>Opens a compressed block: what is read next comes out of it, until it is used up.</summary>
    public void OpenBlock()
    {
        if (IsInBlock)
        {
            throw Fault("a compressed block within a compressed block");
        }

        long method = Unsigned();
        if (method != 0)
        {
            throw Fault($"a block compressed by method {method}; the standard has 0 only");
        }

        blockLeft = Unsigned();
        long length = Unsigned();
        var compressed = new MemoryStream();
        for (; length > 0; length--)
        {
            compressed.WriteByte(Byte());
        }

        expanded += blockLeft;
        if (expanded > MostExpanded + ((double)MostExpandedPerByte * Position))
        {
            throw Fault($"compressed blocks that expand to {blockLeft} bytes and more, hundreds of times their size");
        }

        compressed.Position = 0;
        block = new DeflateStream(compressed, CompressionMode.Decompress);
    }

    /// <summary>Reads the rest of the file, after the validation scheme of the END record, and checks the signature.</summary>
    public void CheckSignature(long scheme)
    {
        Sign();
        if (scheme is 1 or 2)
        {
            Span<byte> stored = stackalloc byte[4];
            uint expected = BinaryPrimitives.ReadUInt32LittleEndian(Bytes(stored));
            uint found = scheme == 1 ? signature.Crc32 : signature.Checksum32;
            if (found != expected)
            {
                throw new CompileException(OasisCodes.BadSignature, $"the file's signature is {expected:X8}, its bytes make {found:X8}", PlaceAt(Position), "it was damaged: copy or export it again");
            }
        }
        else if (scheme != 0)
        {
            throw Fault($"a signature by scheme {scheme}; there are 0 to 2");
        }
    }

    /// <summary>Drops a block that is still open; the input stays open.</summary>
    public void Dispose() => block?.Dispose();

    private Span<byte> Bytes(Span<byte> target)
    {
        for (int i = 0; i < target.Length; i++)
        {
            target[i] = Byte();
        }

        return target;
    }

    private bool TryBlockByte(out byte value)
    {
        value = 0;
        if (blockNext == blockFilled)
        {
            try
            {
                (blockNext, blockFilled) = (0, block!.Read(blockBuffer));
            }
            catch (InvalidDataException e)
            {
                throw new CompileException(new Diagnostic(OasisCodes.BadRecord, Severity.Error, "a compressed block cannot be expanded", PlaceAt(Position), "the file is damaged: export it again"), e);
            }

            if (blockFilled == 0 || blockFilled > blockLeft)
            {
                if (blockFilled > 0 || blockLeft > 0)
                {
                    throw Fault("a compressed block does not have the length that it states");
                }

                block!.Dispose();
                block = null;
                return false;
            }

            blockLeft -= blockFilled;
        }

        value = blockBuffer[blockNext++];
        return true;
    }

    private bool Refill()
    {
        Sign();
        bytesBefore += filled;
        filled = input.Read(buffer);
        (next, signed) = (0, 0);
        return filled > 0;
    }

    private void Sign()
    {
        signature.Add(buffer.AsSpan(signed, next - signed));
        signed = next;
    }
}
