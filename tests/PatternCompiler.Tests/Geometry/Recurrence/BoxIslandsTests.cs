using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Recurrence;

namespace PatternCompiler.Tests.Geometry.Recurrence;

public sealed class BoxIslandsTests
{
    [Fact]
    public void Boxes_that_share_a_point_are_of_one_island() =>
        Assert.Equal([0, 0, 2], BoxIslands.Find([new(0, 0, 5, 5), new(5, 5, 9, 9), new(10, 5, 12, 9)]));

    [Fact]
    public void A_chain_of_boxes_is_one_island_in_whatever_order_it_comes() =>
        Assert.Equal([0, 0, 0, 0], BoxIslands.Find([new(0, 0, 1, 9), new(6, 0, 7, 9), new(3, 8, 7, 9), new(0, 8, 4, 9)]));

    [Fact]
    public void Boxes_that_meet_are_never_of_different_islands() =>
        Gen.Select(Gen.Int[-50, 50], Gen.Int[-50, 50], Gen.Int[0, 12], Gen.Int[0, 12])
            .Select((x, y, width, height) => new GridBox(x, y, x + width, y + height))
            .Array[1, 60]
            .Sample(
                boxes =>
                {
                    int[] islands = BoxIslands.Find(boxes);
                    for (int a = 0; a < boxes.Length; a++)
                    {
                        Assert.Equal(islands[a], islands[islands[a]]);
                        for (int b = 0; b < a; b++)
                        {
                            bool apart = boxes[a].XRight < boxes[b].XLeft || boxes[b].XRight < boxes[a].XLeft
                                || boxes[a].YTop < boxes[b].YBottom || boxes[b].YTop < boxes[a].YBottom;
                            Assert.True(apart || islands[a] == islands[b]);
                        }
                    }
                },
                iter: Iterations.Usually(500));

    [Fact]
    public void Rows_and_columns_of_boxes_are_as_many_islands()
    {
        GridBox[] boxes = [.. Enumerable.Range(0, 10_000).Select(i => new GridBox(i % 100 * 10, i / 100 * 10, (i % 100 * 10) + 8, (i / 100 * 10) + 9))];
        Assert.Equal(boxes.Length, BoxIslands.Find(boxes).Distinct().Count());
    }
}
