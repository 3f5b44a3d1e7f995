namespace PatternCompiler.Geometry.Sweep;

/// <summary>Finds the ascending order of 64-bit keys, one byte at a time, skipping bytes in which all keys agree. Stable.</summary>
internal sealed class RadixSort
{
    private const int Bits = 8;
    private const int Buckets = 1 << Bits;

    private readonly int[] counts = new int[Buckets];
    private ulong[] keysA = [];
    private ulong[] keysB = [];
    private int[] orderA = [];
    private int[] orderB = [];

    /// <summary>Positions of the keys in ascending order. The result is valid until the next call.</summary>
    public ReadOnlySpan<int> Order(ReadOnlySpan<ulong> keys)
    {
        int count = keys.Length;
        if (keysA.Length < count)
        {
            keysA = new ulong[count];
            keysB = new ulong[count];
            orderA = new int[count];
            orderB = new int[count];
        }

        ulong all = ulong.MaxValue, any = 0;
        for (int i = 0; i < count; i++)
        {
            keysA[i] = keys[i];
            orderA[i] = i;
            all &= keys[i];
            any |= keys[i];
        }

        ulong varying = all ^ any;
        for (int shift = 0; shift < 64; shift += Bits)
        {
            if (count > 1 && ((varying >> shift) & (Buckets - 1)) != 0)
            {
                Pass(count, shift);
            }
        }

        return orderA.AsSpan(0, count);
    }

    private void Pass(int count, int shift)
    {
        Array.Clear(counts);
        for (int i = 0; i < count; i++)
        {
            counts[(int)(keysA[i] >> shift) & (Buckets - 1)]++;
        }

        int sum = 0;
        for (int b = 0; b < Buckets; b++)
        {
            int c = counts[b];
            counts[b] = sum;
            sum += c;
        }

        for (int i = 0; i < count; i++)
        {
            ulong key = keysA[i];
            int to = counts[(int)(key >> shift) & (Buckets - 1)]++;
            keysB[to] = key;
            orderB[to] = orderA[i];
        }

        (keysA, keysB) = (keysB, keysA);
        (orderA, orderB) = (orderB, orderA);
    }
}
