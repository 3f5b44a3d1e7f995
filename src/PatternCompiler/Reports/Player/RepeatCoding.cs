using System.Buffers.Binary;

namespace PatternCompiler.Reports.Player;

/// <summary>
/// Shortens bytes that repeat what came before. What comes out is a row of: count of bytes that follow as they are, these bytes, and,
/// unless everything is told, the length of a repeat and how far back it lies (counts as in <see cref="ByteColumn"/>). A repeat may reach
/// into itself. The same bytes on every machine, and twenty lines to read them, which libraries of compression do not promise.
/// </summary>
internal static class RepeatCoding
{
    /// <summary>Shorter repeats would save nothing.</summary>
    public const int ShortestRepeat = 6;

    private const int KeyBytes = 4;
    private const int HashBits = 17;

    /// <summary>The bytes, shortened.</summary>
    public static ByteColumn Encode(ReadOnlySpan<byte> bytes)
    {
        var coded = new ByteColumn();
        var latest = new int[1 << HashBits];
        Array.Fill(latest, -1);
        int told = 0;
        int at = 0;
        while (at + ShortestRepeat <= bytes.Length)
        {
            uint key = BinaryPrimitives.ReadUInt32LittleEndian(bytes[at..]) * 2_654_435_761u >> (32 - HashBits);
            int before = latest[key];
            latest[key] = at;
            int length = before < 0 ? 0 : bytes[at..].CommonPrefixLength(bytes[before..]);
            if (length < ShortestRepeat)
            {
                at++;
                continue;
            }

            coded.AddCount((ulong)(at - told));
            coded.AddAll(bytes[told..at]);
            coded.AddCount((ulong)length);
            coded.AddCount((ulong)(at - before));
            int end = at + length;

            // What a repeat holds can be repeated again; a few of its places are enough to find it.
            for (at++; at < end && at + KeyBytes <= bytes.Length; at++)
            {
                latest[BinaryPrimitives.ReadUInt32LittleEndian(bytes[at..]) * 2_654_435_761u >> (32 - HashBits)] = at;
            }

            told = at = end;
        }

        coded.AddCount((ulong)(bytes.Length - told));
        coded.AddAll(bytes[told..]);
        return coded;
    }
}
