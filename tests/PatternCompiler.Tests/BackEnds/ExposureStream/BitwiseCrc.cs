namespace PatternCompiler.Tests.BackEnds.ExposureStream;

/// <summary>The definition of CRC-32C, bit by bit; its values are checked in Crc32CTests.</summary>
internal static class BitwiseCrc
{
    /// <summary>The bytes and their checksum.</summary>
    public static byte[] After(byte[] bytes)
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

        return [.. bytes, .. BitConverter.GetBytes(~crc)];
    }
}
