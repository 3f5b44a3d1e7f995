namespace PatternCompiler.Prediction.Simulation;

/// <summary>Whole numbers in as few bytes as they need: seven bits to a byte, the lowest first, the sign in the lowest bit of all.</summary>
internal static class PackedNumbers
{
    /// <summary>Most bytes of a number.</summary>
    public const int Longest = 10;

    /// <summary>Writes a number.</summary>
    /// <param name="value">The number.</param>
    /// <param name="bytes">Where it goes.</param>
    /// <param name="used">Bytes that are used already; moved behind the number.</param>
    public static void Put(long value, Span<byte> bytes, ref int used)
    {
        ulong bits = (ulong)(value << 1) ^ (ulong)(value >> 63);
        for (; bits >= 0x80; bits >>= 7)
        {
            bytes[used++] = (byte)(bits | 0x80);
        }

        bytes[used++] = (byte)bits;
    }

    /// <summary>Reads a number.</summary>
    /// <param name="bytes">It comes first; moved behind it.</param>
    public static long Take(ref ReadOnlySpan<byte> bytes)
    {
        ulong bits = 0;
        int length = 0;
        for (; bytes[length] >= 0x80; length++)
        {
            bits |= (ulong)(bytes[length] & 0x7F) << (7 * length);
        }

        bits |= (ulong)bytes[length] << (7 * length);
        bytes = bytes[(length + 1)..];
        return (long)(bits >> 1) ^ -(long)(bits & 1);
    }
}
