namespace PatternCompiler.Geometry.Rectilinear;

/// <summary>Sorts 64-bit items by some of their bits, least significant digit first. Stable.</summary>
internal static class PackedSort
{
    private const int DigitBits = 11;

    /// <summary>Sorts by the bits from one up to another; where bits differ below, items keep their order.</summary>
    public static ulong[] Sort(ulong[] items, int firstBit, int endBit)
    {
        ulong[] other = GC.AllocateUninitializedArray<ulong>(items.Length);
        Span<int> places = stackalloc int[1 << DigitBits];
        for (int shift = firstBit; shift < endBit; shift += DigitBits)
        {
            places.Clear();
            uint mask = (1u << Math.Min(DigitBits, endBit - shift)) - 1;
            foreach (ulong item in items)
            {
                places[(int)((uint)(item >> shift) & mask)]++;
            }

            int sum = 0;
            foreach (ref int place in places)
            {
                (place, sum) = (sum, sum + place);
            }

            foreach (ulong item in items)
            {
                other[places[(int)((uint)(item >> shift) & mask)]++] = item;
            }

            (items, other) = (other, items);
        }

        return items;
    }
}
