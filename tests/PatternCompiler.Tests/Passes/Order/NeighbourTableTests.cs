using PatternCompiler.Passes.Order;

namespace PatternCompiler.Tests.Passes.Order;

public sealed class NeighbourTableTests
{
    private static readonly Endpoints Row = new(
        [.. Enumerable.Range(0, 100_000).Select(i => TravelItem.Dot(10L * i, 0))], new TravelOptions(AllowsReversal: true, (0, 0)));

    [Fact]
    public void Neighbours_of_few_members_take_no_room_for_all_others()
    {
        int[] members = [0, 20, 60];
        int[] itemOf = [.. Enumerable.Range(0, Row.Count).Select(e => e >> 1)];
        long before = GC.GetAllocatedBytesForCurrentThread();
        NeighbourTable table = NeighbourTable.Find(Row, members, itemOf, 96);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 4L * 4 * Row.Count);
        Assert.Equal([20, 60], table[0].ToArray());
        Assert.Equal([0, 60], table[20].ToArray());
        Assert.Equal([20, 0], table[60].ToArray());
        Assert.Empty(table[2].ToArray());
    }
}
