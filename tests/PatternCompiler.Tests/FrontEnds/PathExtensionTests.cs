using System.Collections.Immutable;
using System.Globalization;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;

namespace PatternCompiler.Tests.FrontEnds;

public sealed class PathExtensionTests
{
    // Worked out by hand: along a 3-4-5 triangle, and along the axes.
    [Theory]
    [InlineData("0,0 30,40", 5, 10, "-3,-4 36,48")]
    [InlineData("0,0 30,40", -50, 10, "30,40 36,48")]
    [InlineData("0,0 100,0", -70, 0, "70,0 100,0")]
    [InlineData("0,0 100,0", 0, -100, null)]
    [InlineData("0,0 100,0", -60, -60, null)]
    [InlineData("0,0 100,0 100,50", 10, -20, "-10,0 100,0 100,30")]
    public void Ends_move_along_their_own_lines(string path, double start, double end, string? expected)
    {
        var points = ImmutableArray.CreateBuilder<GridPoint>();
        points.AddRange(path.Split(' ').Select(p => new GridPoint(int.Parse(p.Split(',')[0], CultureInfo.InvariantCulture), int.Parse(p.Split(',')[1], CultureInfo.InvariantCulture))));
        bool isLeft = PathExtension.TryExtend(points, start, end, out bool isOnGrid);
        Assert.True(isOnGrid);
        Assert.Equal(expected, isLeft ? string.Join(' ', points.Select(p => $"{p.X},{p.Y}")) : null);
    }

    [Fact]
    public void An_end_beyond_the_grid_is_told()
    {
        var points = ImmutableArray.CreateBuilder<GridPoint>();
        points.AddRange(new GridPoint(0, 0), new GridPoint(1, 0));
        Assert.False(PathExtension.TryExtend(points, 0, GridPoint.Limit, out bool isOnGrid));
        Assert.False(isOnGrid);
    }
}
