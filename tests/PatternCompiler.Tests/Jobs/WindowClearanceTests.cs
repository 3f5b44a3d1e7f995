using PatternCompiler.Geometry;
using PatternCompiler.Jobs.Looks;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

/// <summary>Windows and what is written, in steps of the grid: what ends where a window begins, on each of its sides.</summary>
public sealed class WindowClearanceTests
{
    private static readonly GridBox Window = new(100, 20, 160, 50);

    [Theory]
    [InlineData(100, 20, true)]
    [InlineData(160, 50, true)]
    [InlineData(100, 50, true)]
    [InlineData(160, 20, true)]
    [InlineData(99, 35, false)]
    [InlineData(161, 35, false)]
    [InlineData(130, 19, false)]
    [InlineData(130, 51, false)]
    public void A_dot_on_the_edge_is_met(int x, int y, bool isMet) =>
        Assert.Equal(isMet ? (0, 0) : null, FirstMet(new FlatLayer(0, DoseFactor.One, ContourSet.Empty, [], [new GridPoint(-7, 3), new GridPoint(x, y)])));

    /// <summary>Upright, level and slanted, of either slope and direction: past each side, each corner, into one, through, and within.</summary>
    [Theory]
    [InlineData(99, 0, 99, 90, false)]
    [InlineData(100, 0, 100, 90, true)]
    [InlineData(160, 0, 160, 90, true)]
    [InlineData(161, 0, 161, 90, false)]
    [InlineData(0, 19, 300, 19, false)]
    [InlineData(0, 20, 300, 20, true)]
    [InlineData(0, 50, 300, 50, true)]
    [InlineData(0, 51, 300, 51, false)]
    [InlineData(110, 30, 150, 40, true)]
    [InlineData(90, 40, 110, 60, true)]
    [InlineData(89, 40, 109, 60, false)]
    [InlineData(150, 60, 170, 40, true)]
    [InlineData(151, 60, 171, 40, false)]
    [InlineData(90, 30, 110, 10, true)]
    [InlineData(89, 30, 109, 10, false)]
    [InlineData(150, 10, 170, 30, true)]
    [InlineData(151, 10, 171, 30, false)]
    [InlineData(0, 0, 300, 70, true)]
    [InlineData(101, 18, 159, 19, false)]
    [InlineData(50, 30, 99, 40, false)]
    [InlineData(50, 30, 100, 40, true)]
    [InlineData(161, 30, 200, 40, false)]
    [InlineData(160, 30, 200, 40, true)]
    [InlineData(130, 0, 131, 19, false)]
    [InlineData(130, 0, 131, 20, true)]
    [InlineData(130, 51, 131, 90, false)]
    [InlineData(130, 50, 131, 90, true)]
    public void A_line_is_met_where_it_touches(int x, int y, int endX, int endY, bool isMet)
    {
        GridPoint a = new(x, y), b = new(endX, endY);
        foreach (GridPoint[] line in (GridPoint[][])[[a, b], [b, a]])
        {
            Assert.Equal(isMet ? (0, 0) : null, FirstMet(new FlatLayer(0, DoseFactor.One, ContourSet.Empty, [[.. line]], [])));
            Assert.Equal(isMet ? (0, 0) : null, FirstMet(new FlatLayer(0, DoseFactor.One, ContourSet.Empty, [[new(-500, -500), new(-400, -500)], [.. line]], [])));
        }
    }

    /// <summary>The second stretch of a line of three counts as the first does.</summary>
    [Fact]
    public void Every_stretch_of_a_line_counts() =>
        Assert.Equal((0, 0), FirstMet(new FlatLayer(0, DoseFactor.One, ContourSet.Empty, [[new(0, 0), new(50, 0), new(130, 35), new(130, 100)]], [])));

    [Theory]
    [InlineData(0, 0, 100, 90, false)]
    [InlineData(0, 0, 101, 90, true)]
    [InlineData(160, 0, 300, 90, false)]
    [InlineData(159, 0, 300, 90, true)]
    [InlineData(0, 0, 300, 20, false)]
    [InlineData(0, 0, 300, 21, true)]
    [InlineData(0, 50, 300, 90, false)]
    [InlineData(0, 49, 300, 90, true)]
    public void An_area_is_met_where_it_overlaps(int left, int bottom, int right, int top, bool isMet) =>
        Assert.Equal(isMet ? (0, 0) : null, FirstMet(new FlatLayer(0, DoseFactor.One, new GridBox(left, bottom, right, top).ToContourSet(), [], [])));

    /// <summary>A triangle whose box covers a corner of the window: its side is at height 20 over x = 100 if its base is 150 long, and at 22.5 if it is 160 long.</summary>
    [Theory]
    [InlineData(150, false)]
    [InlineData(160, true)]
    public void An_area_beside_the_window_is_not_met_by_its_box(int length, bool isMet) =>
        Assert.Equal(isMet ? (0, 0) : null, FirstMet(new FlatLayer(0, DoseFactor.One, ContourSet.FromRing(new(0, 0), new(length, 0), new(0, 60)), [], [])));

    /// <summary>The window and the layer that are named are those that meet, and the layer that may be met is passed over.</summary>
    [Fact]
    public void The_window_and_its_layer_are_named()
    {
        FlatLayer[] groups =
        [
            new(0, DoseFactor.One, ContourSet.Empty, [], [new GridPoint(130, 35)]),
            new(2, DoseFactor.One, ContourSet.Empty, [], [new GridPoint(5, 5)]),
        ];
        GridBox[] windows = [new(-90, -90, -80, -80), Window, new(0, 0, 9, 9)];
        Assert.Equal((1, 0), FirstMet(windows, -1, groups));
        Assert.Equal((2, 2), FirstMet(windows, 0, groups));
        Assert.Equal((1, 0), FirstMet(windows, 2, groups));
        Assert.Null(FirstMet(windows[..1], -1, groups));
    }

    private static (int Window, int Layer)? FirstMet(FlatLayer group) => FirstMet([Window], -1, group);

    private static (int Window, int Layer)? FirstMet(GridBox[] windows, int exceptLayer, params FlatLayer[] groups) =>
        WindowClearance.FirstMet([.. windows], new FlatLayout(100, ["a", "b", "c"], [.. groups]), exceptLayer, WorkLimits.Usual, CancellationToken.None);
}
