using System.Buffers.Binary;
using System.Numerics;

namespace PatternCompiler.Model.Carriers;

/// <summary>
/// CRC-32C (Castagnoli polynomial 1EDC6F41, reflected, initial value and final inversion all ones), as RFC 3720
/// uses it. Written little-endian wherever the formats of this program carry it. Uses the processor's instruction
/// where there is one.
/// </summary>
internal static class Crc32C
{
    /// <summary>Running value before the first byte.</summary>
    public const uint Start = 0xFFFFFFFF;

    /// <summary>Feeds bytes into a running value.</summary>
    public static uint Append(uint running, ReadOnlySpan<byte> bytes)
    {
        while (bytes.Length >= sizeof(ulong))
        {
            running = BitOperations.Crc32C(running, BinaryPrimitives.ReadUInt64LittleEndian(bytes));
            bytes = bytes[sizeof(ulong)..];
        }

        foreach (byte value in bytes)
        {
            running = BitOperations.Crc32C(running, value);
        }

        return running;
    }

    /// <summary>The checksum for a running value.</summary>
    public static uint Finish(uint running) => ~running;

    /// <summary>The checksum of a whole span.</summary>
    public static uint Of(ReadOnlySpan<byte> bytes) => Finish(Append(Start, bytes));
}
