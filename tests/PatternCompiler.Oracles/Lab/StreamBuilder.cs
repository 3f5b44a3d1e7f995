using System.Buffers.Binary;
using PatternCompiler.VirtualLab.Streams;

namespace PatternCompiler.Oracles.Lab;

/// <summary>Streams byte by byte from the stream's page, for the virtual lab's own tests: 16 bits, words of 2 bytes, 10 MHz, ±10 V.</summary>
internal sealed class StreamBuilder(int minor = 1, int coding = 1, bool swapsAxes = false)
{
    private readonly List<byte> payload = [];
    private byte records;
    private long points;
    private long ticks;

    public StreamBuilder Jump(int x, int y, uint t) => Add([1, Code(x), Code(y), .. Pair(t)], 0, t);

    public StreamBuilder Dot(int x, int y, uint t) => Add([2, Code(x), Code(y), .. Pair(t)], 1, t);

    public StreamBuilder Line(int x, int y, int endX, int endY, uint n, uint q, uint r) =>
        Add([3, Code(x), Code(y), Code(endX), Code(endY), .. Pair(n), .. Pair(q), .. Pair(r)], n, (n * (long)q) + r);

    public StreamBuilder Wait(uint t) => Add([4, .. Pair(t)], 0, t);

    public byte[] ToArray()
    {
        byte[] name = "lab"u8.ToArray();
        var header = new byte[85 + name.Length + (minor >= 1 ? 33 : 0) + 4];
        ((ReadOnlySpan<byte>)[0x9C, 0x50, 0x43, 0x58, 0x0D, 0x0A, 1, (byte)minor]).CopyTo(header);
        BinaryPrimitives.WriteUInt16LittleEndian(header.AsSpan(8), (ushort)header.Length);
        BinaryPrimitives.WriteUInt16LittleEndian(header.AsSpan(10), (ushort)~header.Length);
        (header[12], header[13], header[16], header[17], header[19]) = (2, 1, 16, (byte)coding, (byte)(swapsAxes ? 1 : 0));
        BinaryPrimitives.WriteUInt16LittleEndian(header.AsSpan(14), 512);
        double[] numbers = [1e7, -10, 10, 1.5, 1.5];
        for (int i = 0; i < numbers.Length; i++)
        {
            BinaryPrimitives.WriteDoubleLittleEndian(header.AsSpan(20 + (8 * i)), numbers[i]);
        }

        header[84] = (byte)name.Length;
        name.CopyTo(header, 85);
        Seal(header);
        byte[] end = new byte[24];
        BinaryPrimitives.WriteInt64LittleEndian(end, records);
        BinaryPrimitives.WriteInt64LittleEndian(end.AsSpan(8), points);
        BinaryPrimitives.WriteInt64LittleEndian(end.AsSpan(16), ticks);
        return [.. header, .. Block('R', records, 0, [.. payload]), .. Block('E', 0, 1, end)];
    }

    public DecodedExposure Read() => DecodedExposure.Read(ToArray());

    private StreamBuilder Add(ushort[] words, long exposed, long lasting)
    {
        foreach (ushort word in words)
        {
            payload.AddRange([(byte)word, (byte)(word >> 8)]);
        }

        records++;
        points += exposed;
        ticks += lasting;
        return this;
    }

    private ushort Code(int natural) => (ushort)(coding == 2 ? natural ^ 0x8000 : natural);

    private static ushort[] Pair(uint value) => [(ushort)value, (ushort)(value >> 16)];

    private static byte[] Block(char type, byte count, uint number, byte[] content)
    {
        var block = new byte[14 + content.Length];
        (block[0], block[1]) = ((byte)type, count);
        BinaryPrimitives.WriteUInt16LittleEndian(block.AsSpan(2), (ushort)content.Length);
        BinaryPrimitives.WriteUInt16LittleEndian(block.AsSpan(4), (ushort)~content.Length);
        BinaryPrimitives.WriteUInt32LittleEndian(block.AsSpan(6), number);
        content.CopyTo(block, 10);
        Seal(block);
        return block;
    }

    private static void Seal(byte[] bytes) =>
        BinaryPrimitives.WriteUInt32LittleEndian(bytes.AsSpan(bytes.Length - 4), Crc32C.Of(bytes.AsSpan(0, bytes.Length - 4)));
}
