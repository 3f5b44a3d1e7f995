using System.Buffers.Binary;

namespace PatternCompiler.Tests.Jobs.WholeRun;

/// <summary>
/// The exposure stream read once more, from its page alone and with none of the program's readers: what a controller would do,
/// point by point. Checksums are left to the stream's own tests.
/// </summary>
internal sealed class StreamBytes
{
    private readonly byte[] bytes;
    private int wordBytes;

    public StreamBytes(byte[] bytes)
    {
        this.bytes = bytes;
        Read();
    }

    public enum Kind
    {
        Jump = 1,
        Point = 2,
        Wait = 4,
        Marker = 5,
    }

    /// <summary>A step of the controller; codes are natural, a marker has its number in <paramref name="Ticks"/>.</summary>
    public readonly record struct Step(Kind Kind, long X, long Y, long Ticks);

    public int Bits { get; private set; }

    public int Coding { get; private set; }

    public double ClockHertz { get; private set; }

    public int BlankLevel { get; private set; }

    /// <summary>Length of the stream.</summary>
    public int Bytes => bytes.Length;

    public List<Step> Steps { get; } = [];

    /// <summary>Records, exposed points and ticks as counted, and as the end block states them.</summary>
    public (long Records, long Points, long Ticks) Counted { get; private set; }

    public (long Records, long Points, long Ticks) Stated { get; private set; }

    private void Read()
    {
        Assert.Equal([0x9C, 0x50, 0x43, 0x58, 0x0D, 0x0A, 1, 1], bytes[..8]);
        int at = BinaryPrimitives.ReadUInt16LittleEndian(bytes.AsSpan(8));
        (wordBytes, Bits, Coding) = (bytes[12], bytes[16], bytes[17]);
        ClockHertz = BitConverter.ToDouble(bytes, 20);
        BlankLevel = bytes[85 + bytes[84]];
        Assert.Equal(Bits <= 16 ? 2 : 3, wordBytes);
        for (uint number = 0; ; number++)
        {
            int length = BinaryPrimitives.ReadUInt16LittleEndian(bytes.AsSpan(at + 2));
            Assert.InRange(length, 1, 512);
            Assert.Equal(number, BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(at + 6)));
            ReadOnlySpan<byte> payload = bytes.AsSpan(at + 10, length);
            int next = at + 10 + length + 4;
            if (bytes[at] == (byte)'E')
            {
                Stated = (BinaryPrimitives.ReadInt64LittleEndian(payload), BinaryPrimitives.ReadInt64LittleEndian(payload[8..]), BinaryPrimitives.ReadInt64LittleEndian(payload[16..]));
                Assert.Equal(bytes.Length, next);
                return;
            }

            Assert.Equal((byte)'R', bytes[at]);
            for (int i = 0; i < bytes[at + 1]; i++)
            {
                payload = payload[Take(payload)..];
            }

            Assert.Equal(0, payload.Length);
            at = next;
        }
    }

    /// <summary>One record; returns its bytes.</summary>
    private int Take(ReadOnlySpan<byte> from)
    {
        int words = 0;
        long kind = Word(from, ref words);
        long x = 0;
        long y = 0;
        if (kind is 1 or 2 or 3)
        {
            (x, y) = (Code(from, ref words), Code(from, ref words));
        }

        if (kind == 3)
        {
            (long endX, long endY) = (Code(from, ref words), Code(from, ref words));
            (long n, long q, long r) = (Pair(from, ref words), Pair(from, ref words), Pair(from, ref words));
            for (long i = 0; i < n; i++)
            {
                long ticks = q + ((i + 1) * r / n) - (i * r / n);
                Add(new Step(Kind.Point, On(x, endX, i, n), On(y, endY, i, n), ticks), i == 0);
            }
        }
        else
        {
            Add(new Step((Kind)kind, x, y, Pair(from, ref words)), true);
        }

        return words * wordBytes;
    }

    private void Add(Step step, bool isRecord)
    {
        Assert.True(Enum.IsDefined(step.Kind));
        Steps.Add(step);
        (long records, long points, long ticks) = Counted;
        Counted = (records + (isRecord ? 1 : 0), points + (step.Kind == Kind.Point ? 1 : 0), ticks + (step.Kind == Kind.Marker ? 0 : step.Ticks));
    }

    private static long On(long start, long end, long i, long n) =>
        n == 1 ? start : start + (long)Math.Floor((decimal)(2 * i * (end - start) + (n - 1)) / (2 * (n - 1)));

    private long Word(ReadOnlySpan<byte> from, ref int words)
    {
        long value = 0;
        for (int i = 0; i < wordBytes; i++)
        {
            value |= (long)from[words * wordBytes + i] << (8 * i);
        }

        words++;
        return value;
    }

    private long Pair(ReadOnlySpan<byte> from, ref int words)
    {
        long lower = Word(from, ref words);
        return lower | (Word(from, ref words) << (8 * wordBytes));
    }

    private long Code(ReadOnlySpan<byte> from, ref int words)
    {
        long code = Word(from, ref words);
        Assert.InRange(code, 0, (1L << Bits) - 1);
        return Coding == 2 ? code ^ (1L << (Bits - 1)) : code;
    }
}
