using CsCheck;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Tests.Passes.Order;

public sealed class KeySortTests
{
    [Fact]
    public void Keys_come_by_their_upper_half_and_in_their_order_where_that_is_equal() =>
        Gen.OneOf(Gen.ULong, Gen.ULong[0, 3].Select(low => (low << 62) | low), Gen.UInt.Select(half => ((ulong)half << 32) | 7)).Array[0, 300].Sample(
            keys =>
            {
                ulong[] expected = [.. keys.OrderBy(key => key >> 32)];
                KeySort.Sort(keys);
                Assert.Equal(expected, keys);
            },
            iter: Iterations.Usually(300));

    [Fact]
    public void A_longer_way_has_no_smaller_key() =>
        Gen.Select(Gen.Double[0, 1e18], Gen.Double[0, 1e18]).Sample(
            (a, b) => Assert.True(a <= b == KeySort.KeyOf(a) <= KeySort.KeyOf(b) || (float)a == (float)b), iter: Iterations.Usually(1000));
}
