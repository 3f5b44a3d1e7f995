using CsCheck;
using PatternCompiler.Geometry;

namespace PatternCompiler.Tests.Geometry;

public sealed class PackedSortTests
{
    [Fact]
    public void Items_come_by_the_bits_that_count_and_in_their_order_where_these_are_equal() =>
        Gen.Select(
            Gen.OneOf(Gen.ULong, Gen.ULong[0, 3].Select(low => (low << 62) | low), Gen.UInt.Select(half => ((ulong)half << 32) | 7)).Array[0, 300],
            Gen.Int[0, 63],
            Gen.Int[1, 64]).Where(drawn => drawn.Item2 < drawn.Item3).Sample(
            (items, first, end) =>
            {
                ulong[] expected = [.. items.OrderBy(item => end == 64 ? item >> first : (item & ((1UL << end) - 1)) >> first)];
                PackedSort.Sort(items, new ulong[items.Length + 1], first, end);
                Assert.Equal(expected, items);
            },
            iter: Iterations.Usually(300));
}
