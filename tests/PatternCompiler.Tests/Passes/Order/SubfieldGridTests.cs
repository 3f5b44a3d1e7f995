using PatternCompiler.Passes.Order;

namespace PatternCompiler.Tests.Passes.Order;

public sealed class SubfieldGridTests
{
    [Fact]
    public void Sub_fields_follow_each_other_row_by_row_and_back()
    {
        var grid = new SubfieldGrid(10, 10);
        TravelItem[] items = [At(25, 5), At(5, 5), At(15, 15), At(5, 15), At(25, 15), At(1, 9), At(-1, -1), At(25, -1)];
        int[][] groups = [.. grid.Group(items)];
        Assert.Equal([[7], [6], [1, 5], [0], [4], [2], [3]], groups);
    }

    private static TravelItem At(double x, double y) => new(x, y, x, y);
}
