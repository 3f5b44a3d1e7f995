namespace PatternCompiler.Reports.Player;

/// <summary>
/// Writes likely bytes in few bits: an adaptive binary range coder after G. N. N. Martin (Range encoding, 1979), in whole numbers, so
/// that every machine gives the same bytes. Each byte is eight decisions from the high bit down; how likely a one is, is learnt for every
/// beginning of a byte and for the byte before.
/// </summary>
internal static class RangeCoding
{
    private const int ScaleBits = 12;
    private const int LearningShift = 4;
    private const uint SmallestRange = 1 << 24;
    private const int FlushedBytes = 5;

    /// <summary>The bytes, shortened.</summary>
    public static ByteColumn Encode(ReadOnlySpan<byte> bytes)
    {
        var coded = new ByteColumn();
        var zeros = new ushort[1 << 16];
        Array.Fill(zeros, (ushort)(1 << (ScaleBits - 1)));
        ulong low = 0;
        uint range = uint.MaxValue;
        byte held = 0;
        long waiting = 1;
        int before = 0;
        foreach (byte value in bytes)
        {
            for (int bit = 7, node = 1; bit >= 0; bit--)
            {
                ref ushort zero = ref zeros[before << 8 | node];
                uint bound = (range >> ScaleBits) * zero;
                int is1 = value >> bit & 1;
                if (is1 == 0)
                {
                    range = bound;
                    zero += (ushort)(((1 << ScaleBits) - zero) >> LearningShift);
                }
                else
                {
                    low += bound;
                    range -= bound;
                    zero -= (ushort)(zero >> LearningShift);
                }

                node = node << 1 | is1;
                while (range < SmallestRange)
                {
                    range <<= 8;
                    Shift();
                }
            }

            before = value;
        }

        for (int i = 0; i < FlushedBytes; i++)
        {
            Shift();
        }

        return coded;

        // The high byte of low is final once no carry can reach it.
        void Shift()
        {
            if (low < 0xFF000000 || low > uint.MaxValue)
            {
                byte carry = (byte)(low >> 32);
                for (byte part = held; waiting > 0; waiting--, part = 0xFF)
                {
                    coded.AddByte((byte)(part + carry));
                }

                held = (byte)(low >> 24);
            }

            waiting++;
            low = low << 8 & uint.MaxValue;
        }
    }
}
