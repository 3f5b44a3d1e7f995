using System.IO.Hashing;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>The two sums over a file that its END record may hold: CRC-32 (ISO 3309) and the sum of all bytes.</summary>
internal sealed class OasisSignature
{
    private readonly Crc32 crc = new();

    /// <summary>CRC-32 of everything added.</summary>
    public uint Crc32 => crc.GetCurrentHashAsUInt32();

    /// <summary>Sum of all bytes, modulo 2^32.</summary>
    public uint Checksum32 { get; private set; }

    /// <summary>Adds bytes.</summary>
    public void Add(ReadOnlySpan<byte> bytes)
    {
        crc.Append(bytes);
        uint sum = Checksum32;
        foreach (byte b in bytes)
        {
            sum += b;
        }

        Checksum32 = sum;
    }
}
