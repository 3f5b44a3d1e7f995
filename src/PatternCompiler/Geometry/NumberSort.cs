using System.Buffers;
using System.Runtime.InteropServices;

namespace PatternCompiler.Geometry;

/// <summary>Sorts items by numbers beside them, least significant digit first: far faster than by comparing. Stable.</summary>
internal static class NumberSort
{
    private const int DigitBits = 11;
    private const int Digits = (64 + DigitBits - 1) / DigitBits;
    private const ulong SignBit = 1UL << 63;

    /// <summary>Sorts numbers upwards, and with them what stands beside them; where numbers are equal, items keep their order.</summary>
    /// <param name="numbers">The numbers; none is a NaN. Zeros lose their sign.</param>
    /// <param name="items">As many items.</param>
    public static void Sort<T>(Span<double> numbers, Span<T> items)
    {
        ulong[] keyScratch = ArrayPool<ulong>.Shared.Rent(numbers.Length);
        T[] itemScratch = ArrayPool<T>.Shared.Rent(numbers.Length);
        Span<ulong> keys = MemoryMarshal.Cast<double, ulong>(numbers);
        Span<int> counts = stackalloc int[Digits << DigitBits];
        counts.Clear();
        for (int i = 0; i < keys.Length; i++)
        {
            // Numbers in the order of these bits: the sum makes one of both zeros.
            ulong bits = BitConverter.DoubleToUInt64Bits(numbers[i] + 0.0);
            ulong key = (bits & SignBit) == 0 ? bits | SignBit : ~bits;
            keys[i] = key;
            for (int digit = 0; digit < Digits; digit++)
            {
                counts[Place(key, digit)]++;
            }
        }

        Span<ulong> from = keys;
        Span<ulong> to = keyScratch.AsSpan(0, keys.Length);
        Span<T> fromItems = items;
        Span<T> toItems = itemScratch.AsSpan(0, items.Length);
        for (int digit = 0; digit < Digits && !keys.IsEmpty; digit++)
        {
            if (counts[Place(from[0], digit)] == keys.Length)
            {
                continue;
            }

            int sum = 0;
            foreach (ref int count in counts.Slice(digit << DigitBits, 1 << DigitBits))
            {
                (count, sum) = (sum, sum + count);
            }

            for (int i = 0; i < from.Length; i++)
            {
                int place = counts[Place(from[i], digit)]++;
                (to[place], toItems[place]) = (from[i], fromItems[i]);
            }

            Span<ulong> sorted = to;
            to = from;
            from = sorted;
            Span<T> sortedItems = toItems;
            toItems = fromItems;
            fromItems = sortedItems;
        }

        fromItems.CopyTo(items);
        for (int i = 0; i < from.Length; i++)
        {
            numbers[i] = BitConverter.UInt64BitsToDouble((from[i] & SignBit) != 0 ? from[i] ^ SignBit : ~from[i]);
        }

        ArrayPool<ulong>.Shared.Return(keyScratch);
        ArrayPool<T>.Shared.Return(itemScratch);
    }

    /// <summary>Place of the count of a key's digit.</summary>
    private static int Place(ulong key, int digit) => (digit << DigitBits) | ((int)(key >> (digit * DigitBits)) & ((1 << DigitBits) - 1));
}
