using System.Buffers;

namespace PatternCompiler.Passes.Order;

/// <summary>
/// Sorts numbers by their upper half, what is equal there in the order in which it came: digit by digit from the lowest, far faster
/// than by comparing.
/// </summary>
internal static class KeySort
{
    private const int LowestBit = 32;
    private const int DigitBits = 11;
    private const int Digits = 1 << DigitBits;

    /// <summary>The upper half for a length that is not negative; to single precision, shorter ones first.</summary>
    public static ulong KeyOf(double length) => (ulong)BitConverter.SingleToUInt32Bits((float)length) << LowestBit;

    /// <summary>Sorts keys.</summary>
    public static void Sort(Span<ulong> keys)
    {
        ulong[] borrowed = ArrayPool<ulong>.Shared.Rent(keys.Length);
        Span<int> places = stackalloc int[Digits];
        Span<ulong> from = keys;
        Span<ulong> to = borrowed.AsSpan(0, keys.Length);
        for (int shift = LowestBit; shift < 64; shift += DigitBits)
        {
            places.Clear();
            foreach (ulong key in from)
            {
                places[DigitOf(key, shift)]++;
            }

            int before = 0;
            foreach (ref int place in places)
            {
                (place, before) = (before, before + place);
            }

            foreach (ulong key in from)
            {
                to[places[DigitOf(key, shift)]++] = key;
            }

            Span<ulong> sorted = to;
            to = from;
            from = sorted;
        }

        // An odd number of digits leaves them in the borrowed memory.
        from.CopyTo(keys);
        ArrayPool<ulong>.Shared.Return(borrowed);
    }

    private static int DigitOf(ulong key, int shift) => (int)(key >> shift) & (Digits - 1);
}
