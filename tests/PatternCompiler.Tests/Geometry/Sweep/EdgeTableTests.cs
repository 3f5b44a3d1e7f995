using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Tests.Geometry.Sweep;

/// <summary>Edges of rings in all directions, by what each says of itself.</summary>
public sealed class EdgeTableTests
{
    // Up, down, right, left and slanted in both senses; one point stands twice.
    private static readonly GridPoint[] Ring = [new(0, 0), new(9, 0), new(9, 4), new(9, 4), new(6, 7), new(2, 7), new(-3, 5), new(-3, 1)];

    /// <summary>The lower end comes first, of a level edge the left one; the ring's sense stays: +1 to the left of what rises, so that a ring that turns left holds 1.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Every_edge_begins_below_or_left_and_knows_its_sense(bool turnsRight)
    {
        GridPoint[] ring = turnsRight ? [.. Ring.Reverse()] : Ring;
        InputEdge[] edges = EdgeTable.Build(ContourSet.FromRing(ring), ContourSet.FromRing(new(1, 1), new(3, 1), new(2, 2)));
        Assert.Equal(7 + 3, edges.Length);
        GridPoint[] starts = [.. edges[..7].Select(edge => new GridPoint(edge.StartX, edge.StartY))];
        Assert.Equal(ring.Distinct().Order(Comparer<GridPoint>.Create(Compare)), starts.Order(Comparer<GridPoint>.Create(Compare)));
        for (int i = 0; i < 7; i++)
        {
            InputEdge edge = edges[i];
            (GridPoint lower, GridPoint upper) = (new(edge.LowerX, edge.LowerY), new(edge.UpperX, edge.UpperY));
            Assert.True(Compare(lower, upper) < 0, $"{lower} {upper}");
            Assert.Equal(new Winding(starts[i] == lower ? -1 : 1, 0), edge.Weight);
            Assert.Equal(starts[(i + 1) % 7], starts[i] == lower ? upper : lower);
        }

        Assert.All(edges[7..], edge => Assert.Equal((0, 1), (edge.Weight.First, Math.Abs(edge.Weight.Second))));
    }

    /// <summary>Of a band of grid lines come the edges whose lower ends lie on them, ends included.</summary>
    [Theory]
    [InlineData(0, 0, 3)]
    [InlineData(1, 3, 1)]
    [InlineData(4, 5, 2)]
    [InlineData(6, 7, 1)]
    [InlineData(8, 9, 0)]
    [InlineData(0, 7, 7)]
    public void Edges_of_a_band_have_their_lower_ends_there(int low, int high, int expected)
    {
        var edges = new GrowingArray<InputEdge>(1);
        EdgeTable.AppendWithin(ContourSet.FromRing(Ring), InputEdge.SecondOperand, low, high, ref edges);
        Assert.Equal(expected, edges.Count);
        Assert.All(edges.Span.ToArray(), edge => Assert.InRange(edge.LowerY, low, high));
        Assert.Subset(EdgeTable.Build(ContourSet.Empty, ContourSet.FromRing(Ring)).ToHashSet(), edges.Span.ToArray().ToHashSet());
    }

    private static int Compare(GridPoint a, GridPoint b) => (a.Y, a.X).CompareTo((b.Y, b.X));
}
