namespace PatternCompiler.Reports.Player;

/// <summary>
/// A column of whole numbers as bytes: counts seven bits a byte, the low ones first, the high bit set in all but the last (LEB128);
/// differences as counts of 2n, or −2n − 1 where they are negative, so that small ones take one byte.
/// </summary>
internal sealed class ByteColumn
{
    private byte[] bytes = new byte[256];

    /// <summary>Number of bytes.</summary>
    public int Length { get; private set; }

    /// <summary>All bytes.</summary>
    public ReadOnlySpan<byte> Bytes => bytes.AsSpan(0, Length);

    /// <summary>All bytes.</summary>
    public ReadOnlyMemory<byte> Memory => bytes.AsMemory(0, Length);

    /// <summary>Adds a byte as it is.</summary>
    public void AddByte(byte value)
    {
        if (Length == bytes.Length)
        {
            Array.Resize(ref bytes, checked(2 * bytes.Length));
        }

        bytes[Length++] = value;
    }

    /// <summary>Adds a number that is not negative.</summary>
    public void AddCount(ulong value)
    {
        for (; value > 0x7F; value >>= 7)
        {
            AddByte((byte)(value | 0x80));
        }

        AddByte((byte)value);
    }

    /// <summary>Adds a number of either sign.</summary>
    public void AddDifference(long value) => AddCount((ulong)((value << 1) ^ (value >> 63)));

    /// <summary>Adds bytes as they are.</summary>
    public void AddAll(ReadOnlySpan<byte> added)
    {
        int wanted = checked(Length + added.Length);
        if (wanted > bytes.Length)
        {
            Array.Resize(ref bytes, Math.Max(wanted, (int)Math.Min(2L * bytes.Length, Array.MaxLength)));
        }

        added.CopyTo(bytes.AsSpan(Length));
        Length = wanted;
    }
}
