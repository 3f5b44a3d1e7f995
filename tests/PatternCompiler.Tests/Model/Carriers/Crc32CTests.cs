using CsCheck;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Tests.Model.Carriers;

public sealed class Crc32CTests
{
    [Fact]
    public void Gives_the_published_values()
    {
        // RFC 3720 (iSCSI), appendix B.4, CRC examples. The RFC lists the bytes as sent, lowest first: AA 36 91 8A.
        Assert.Equal(0x8A9136AAu, Crc32C.Of(new byte[32]));
        Assert.Equal(0x62A8AB43u, Crc32C.Of([.. Enumerable.Repeat((byte)0xFF, 32)]));
        Assert.Equal(0x46DD794Eu, Crc32C.Of([.. Enumerable.Range(0, 32).Select(i => (byte)i)]));
        Assert.Equal(0x113FDB5Cu, Crc32C.Of([.. Enumerable.Range(0, 32).Select(i => (byte)(31 - i))]));

        // Check value of the public catalogue of CRC parameters, entry CRC-32/ISCSI; the input is the one of
        // R. N. Williams, A Painless Guide to CRC Error Detection Algorithms (1993).
        Assert.Equal(0xE3069283u, Crc32C.Of("123456789"u8));
        Assert.Equal(0u, Crc32C.Of([]));
    }

    [Fact]
    public void Agrees_with_the_definition_bit_by_bit_in_any_pieces() => Gen.Select(Gen.Byte.Array[0, 100], Gen.Int[0, 100]).Sample(
        (bytes, cut) =>
        {
            cut = Math.Min(cut, bytes.Length);
            uint running = Crc32C.Append(Crc32C.Append(Crc32C.Start, bytes.AsSpan(0, cut)), bytes.AsSpan(cut));
            return Crc32C.Finish(running) == BitByBit(bytes);
        }, iter: Iterations.Usually(100));

    private static uint BitByBit(byte[] bytes)
    {
        uint crc = 0xFFFFFFFF;
        foreach (byte value in bytes)
        {
            crc ^= value;
            for (int bit = 0; bit < 8; bit++)
            {
                crc = (crc >> 1) ^ ((crc & 1) != 0 ? 0x82F63B78u : 0);
            }
        }

        return ~crc;
    }
}
