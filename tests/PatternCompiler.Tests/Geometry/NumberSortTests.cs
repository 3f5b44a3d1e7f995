using CsCheck;
using PatternCompiler.Geometry;

namespace PatternCompiler.Tests.Geometry;

public sealed class NumberSortTests
{
    private static readonly double[] Odd = [0.0, -0.0, double.Epsilon, -double.Epsilon, double.MaxValue, double.PositiveInfinity, double.NegativeInfinity];

    [Fact]
    public void Items_come_by_their_numbers_and_in_their_order_where_these_are_equal() =>
        Gen.OneOf(
            Gen.Double[-1e300, 1e300],
            Gen.Double[1, 1 + 1e-12],
            Gen.Int[-2, 2].Select(whole => (double)whole),
            Gen.Int[0, Odd.Length - 1].Select(i => Odd[i])).Array[0, 300].Sample(
            numbers =>
            {
                int[] items = [.. Enumerable.Range(0, numbers.Length)];
                int[] expected = [.. items.OrderBy(i => numbers[i])];
                double[] sorted = [.. numbers];
                NumberSort.Sort(sorted, items);
                Assert.Equal(expected, items);
                Assert.Equal(expected.Select(i => numbers[i]), sorted);
            },
            iter: Iterations.Usually(300));
}
