using System.Buffers.Binary;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.ExposureStream;

/// <summary>Packs records into blocks, and blocks into large writes.</summary>
internal sealed class BlockOutput(Stream target, int wordBytes, int codingMask)
{
    // More than the buffers of outputs, which then pass it on without a copy.
    private const int BufferBytes = 1 << 18;

    // A word is written as four bytes and the next one over its upper, empty bytes; so the last word of a record may
    // touch two bytes behind it.
    private const int LongestBlock = StreamFormat.BlockHeader + StreamFormat.LargestPayload + StreamFormat.CrcBytes + sizeof(uint);

    private readonly byte[] buffer = new byte[BufferBytes];
    private int blockStart;
    private int next = StreamFormat.BlockHeader;
    private int count;
    private uint sequence;

    /// <summary>Writes the stream's header.</summary>
    public void Header(ReadOnlySpan<byte> header) => target.Write(header);

    /// <summary>Adds a jump or a dot.</summary>
    public void Point(byte kind, int x, int y, long ticks)
    {
        int at = Begin(StreamFormat.PointWords);
        Put(at, kind);
        Put(at += wordBytes, (uint)(x ^ codingMask));
        Put(at += wordBytes, (uint)(y ^ codingMask));
        Pair(at + wordBytes, ticks);
    }

    /// <summary>Adds the points of a line as dots.</summary>
    public void Dots(in DeflectionRecord line)
    {
        var walk = new LineWalk(line, 0);
        for (int left = line.Points; left > 0;)
        {
            if (wordBytes != sizeof(ushort))
            {
                LinePoint point = walk.Next();
                Point(StreamFormat.DotWord, point.X, point.Y, point.Ticks);
                left--;
                continue;
            }

            int room = (blockStart + StreamFormat.BlockHeader + StreamFormat.LargestPayload - next) / ShortDots.Size;
            if (room == 0)
            {
                EndBlock(StreamFormat.RecordsBlock);
                continue;
            }

            int part = Math.Min(room, left);
            ShortDots.Pack(ref walk, codingMask, buffer.AsSpan(next, part * ShortDots.Size));
            next += part * ShortDots.Size;
            count += part;
            left -= part;
        }
    }

    /// <summary>Adds a line.</summary>
    public void Line(in DeflectionRecord line)
    {
        int at = Begin(StreamFormat.LineWords);
        (long each, long more) = Math.DivRem(line.Ticks, line.Points);
        Put(at, StreamFormat.LineWord);
        Put(at += wordBytes, (uint)(line.X ^ codingMask));
        Put(at += wordBytes, (uint)(line.Y ^ codingMask));
        Put(at += wordBytes, (uint)(line.EndX ^ codingMask));
        Put(at += wordBytes, (uint)(line.EndY ^ codingMask));
        Pair(at += wordBytes, line.Points);
        Pair(at += 2 * wordBytes, each);
        Pair(at + 2 * wordBytes, more);
    }

    /// <summary>Adds a wait or a marker.</summary>
    public void Value(byte kind, long value)
    {
        int at = Begin(StreamFormat.ValueWords);
        Put(at, kind);
        Pair(at + wordBytes, value);
    }

    /// <summary>Ends the stream.</summary>
    public void End(RecordTotals totals)
    {
        EndBlock(StreamFormat.RecordsBlock);
        BinaryPrimitives.WriteInt64LittleEndian(buffer.AsSpan(next), totals.Records);
        BinaryPrimitives.WriteInt64LittleEndian(buffer.AsSpan(next + sizeof(long)), totals.Points);
        BinaryPrimitives.WriteInt64LittleEndian(buffer.AsSpan(next + 2 * sizeof(long)), totals.Ticks);
        next += StreamFormat.EndPayload;
        EndBlock(StreamFormat.EndBlock);
        Flush();
    }

    private int Begin(int words)
    {
        int bytes = words * wordBytes;
        if (next + bytes > blockStart + StreamFormat.BlockHeader + StreamFormat.LargestPayload)
        {
            EndBlock(StreamFormat.RecordsBlock);
        }

        int at = next;
        next += bytes;
        count++;
        return at;
    }

    private void Pair(int at, long value)
    {
        Put(at, (uint)value & (uint)((1UL << (8 * wordBytes)) - 1));
        Put(at + wordBytes, (uint)((ulong)value >> (8 * wordBytes)));
    }

    private void Put(int at, uint word) => BinaryPrimitives.WriteUInt32LittleEndian(buffer.AsSpan(at), word);

    private void EndBlock(byte type)
    {
        int payload = next - blockStart - StreamFormat.BlockHeader;
        if (payload == 0)
        {
            return;
        }

        Span<byte> block = buffer.AsSpan(blockStart, next - blockStart);
        block[0] = type;
        block[1] = (byte)count;
        StreamHeader.WriteLength(block[2..], payload);
        BinaryPrimitives.WriteUInt32LittleEndian(block[6..], sequence++);
        BinaryPrimitives.WriteUInt32LittleEndian(buffer.AsSpan(next), Crc32C.Of(block));
        blockStart = next + StreamFormat.CrcBytes;
        count = 0;
        if (blockStart + LongestBlock > buffer.Length)
        {
            Flush();
        }

        next = blockStart + StreamFormat.BlockHeader;
    }

    private void Flush()
    {
        target.Write(buffer, 0, blockStart);
        blockStart = 0;
    }
}
