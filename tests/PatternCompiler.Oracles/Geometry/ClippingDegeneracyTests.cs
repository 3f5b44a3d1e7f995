using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;

namespace PatternCompiler.Oracles.Geometry;

/// <summary>
/// The kinds of degenerate intersection that the literature on polygon clipping lists: K. Hormann and A. Agathos, The point
/// in polygon problem and the clipping of arbitrary polygons, and G. Greiner and K. Hormann, Efficient clipping of
/// arbitrary polygons, ACM Trans. Graph. 17 (1998); E. L. Foster, K. Hormann and R. T. Popa, Clipping simple polygons with
/// degenerate intersections, Comput. Graph. X 2 (2019). Titles from memory; figures of our own with areas counted by
/// hand against the square from (0, 0) to (10, 10).
/// </summary>
public sealed class ClippingDegeneracyTests
{
    private static readonly ContourSet Square = new GridBox(0, 0, 10, 10).ToContourSet();

    [Theory]
    [InlineData("the same polygon", new[] { 0, 0, 10, 0, 10, 10, 0, 10 }, 200, 200)]
    [InlineData("the same polygon, other start and sense", new[] { 10, 10, 10, 0, 0, 0, 0, 10 }, 200, 200)]
    [InlineData("a whole edge in common, outside", new[] { 10, 0, 20, 0, 20, 10, 10, 10 }, 0, 400)]
    [InlineData("part of an edge in common, outside", new[] { 10, 3, 20, 3, 20, 8, 10, 8 }, 0, 300)]
    [InlineData("part of an edge in common, inside", new[] { 2, 5, 10, 3, 10, 7 }, 32, 200)]
    [InlineData("a vertex touches an edge from outside", new[] { 10, 5, 15, 0, 15, 10 }, 0, 250)]
    [InlineData("a vertex touches an edge from inside", new[] { 10, 5, 5, 8, 5, 2 }, 30, 200)]
    [InlineData("vertices on all edges", new[] { 5, 0, 10, 5, 5, 10, 0, 5 }, 100, 200)]
    [InlineData("an edge touches a vertex from outside", new[] { -5, 5, 5, 15, -5, 15 }, 0, 300)]
    [InlineData("an edge enters through a vertex", new[] { -5, 15, 5, 5, 5, 15 }, 25, 275)]
    [InlineData("vertices in common, crossing there", new[] { 0, 0, 20, 10, 10, 10 }, 50, 250)]
    [InlineData("an edge overlaps part of another and goes on", new[] { 5, 10, 15, 10, 15, 5, 5, 5 }, 50, 250)]
    [InlineData("an edge overlaps from end to end and beyond", new[] { -5, 10, 15, 10, 5, 20 }, 0, 400)]
    [InlineData("a vertex in common only", new[] { 10, 10, 20, 10, 20, 20, 10, 20 }, 0, 400)]
    public void Twice_the_areas_are_as_counted(string what, int[] coordinates, int intersection, int union)
    {
        var ring = new ContourSetBuilder();
        for (int i = 0; i < coordinates.Length; i += 2)
        {
            ring.Add(new GridPoint(coordinates[i], coordinates[i + 1]));
        }

        ContourSet other = ring.ToContourSet();
        Assert.True(intersection == Twice(BooleanOperation.Intersection), what);
        Assert.True(union == Twice(BooleanOperation.Union), what);
        Assert.True(union - intersection == Twice(BooleanOperation.SymmetricDifference), what);

        Int128 Twice(BooleanOperation operation) => ExactArea.Twice(RegionBoolean.Compute(Square, other, operation));
    }
}
