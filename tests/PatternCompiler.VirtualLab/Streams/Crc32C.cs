namespace PatternCompiler.VirtualLab.Streams;

/// <summary>CRC-32C as in RFC 3720: polynomial 1EDC6F41, reflected, initial value and final inversion all ones.</summary>
public static class Crc32C
{
    private static readonly uint[] Table = [.. Enumerable.Range(0, 256).Select(i => OfByte((uint)i))];

    public static uint Of(ReadOnlySpan<byte> bytes)
    {
        uint crc = uint.MaxValue;
        foreach (byte b in bytes)
        {
            crc = (crc >> 8) ^ Table[(byte)(crc ^ b)];
        }

        return ~crc;
    }

    private static uint OfByte(uint value)
    {
        for (int bit = 0; bit < 8; bit++)
        {
            value = (value >> 1) ^ ((value & 1) == 0 ? 0 : 0x82F63B78);
        }

        return value;
    }
}
