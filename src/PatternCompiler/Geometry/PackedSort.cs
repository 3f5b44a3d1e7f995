namespace PatternCompiler.Geometry;

/// <summary>Sorts 64-bit items by some of their bits, least significant digit first: far faster than by comparing. Stable.</summary>
internal static class PackedSort
{
    private const int DigitBits = 11;

    /// <summary>Sorts by the bits from one up to another; where these are equal, items keep their order.</summary>
    /// <param name="items">The items.</param>
    /// <param name="scratch">Room for as many; its contents are lost.</param>
    /// <param name="firstBit">The lowest bit that counts.</param>
    /// <param name="endBit">The first that does not count any more.</param>
    public static void Sort(Span<ulong> items, Span<ulong> scratch, int firstBit, int endBit)
    {
        Span<ulong> from = items;
        Span<ulong> to = scratch[..items.Length];
        Span<int> places = stackalloc int[1 << DigitBits];
        for (int shift = firstBit; shift < endBit; shift += DigitBits)
        {
            places.Clear();
            uint mask = (1u << Math.Min(DigitBits, endBit - shift)) - 1;
            foreach (ulong item in from)
            {
                places[(int)((uint)(item >> shift) & mask)]++;
            }

            int sum = 0;
            foreach (ref int place in places)
            {
                (place, sum) = (sum, sum + place);
            }

            foreach (ulong item in from)
            {
                to[places[(int)((uint)(item >> shift) & mask)]++] = item;
            }

            Span<ulong> sorted = to;
            to = from;
            from = sorted;
        }

        // After an odd number of digits they are in the scratch.
        if (from != items)
        {
            from.CopyTo(items);
        }
    }
}
