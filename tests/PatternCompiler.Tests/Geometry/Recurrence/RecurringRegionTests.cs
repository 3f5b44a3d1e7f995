using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Recurrence;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Tests.Geometry.Recurrence;

public sealed class RecurringRegionTests
{
    private static readonly GridPoint[] Arrow = [new(0, 0), new(40, 3), new(17, 11), new(25, 30), new(9, 14), new(-20, 21)];

    [Fact]
    public void Copies_of_any_soup_give_what_a_sweep_of_the_whole_gives() =>
        Gen.Select(
            RandomRings.Any(12, 3, 7).Array[1, 3],
            Gen.Select(Gen.Int[0, 2], Gen.Int[-600, 600], Gen.Int[-600, 600]).Array[20, 90],
            RandomRings.Any(40, 2, 6),
            Gen.Enum<FillRule>(),
            Gen.Int[1, 4]).Sample(
            (shapes, copies, single, rule, threads) =>
            {
                var rings = new ContourSetBuilder();
                rings.AddAll(single);
                foreach ((int shape, int dx, int dy) in copies)
                {
                    AddMoved(rings, shapes[shape % shapes.Length], dx, dy);
                }

                AssertAsWhole(rings.ToContourSet(), rule, threads);
            },
            iter: Iterations.Usually(300));

    [Fact]
    public void An_array_with_marks_between_gives_what_a_sweep_of_the_whole_gives()
    {
        ContourSet rings = ArrowArray(columns: 12, rows: 9, step: 70, marks: 5);
        RecurringParts parts = Assert.IsType<RecurringParts>(RecurringParts.Find(rings));
        Assert.Equal(2, parts.Parts.Length);
        Assert.Equal(5 * 4, parts.Parts[0].PointCount);
        Assert.Equal(Arrow.Length, parts.Parts[1].PointCount);
        Assert.Equal(1 + (12 * 9), parts.Copies.Length);
        AssertAsWhole(rings, FillRule.NonZero, 2);
    }

    [Fact]
    public void Copies_that_touch_are_swept_together() =>
        Assert.Null(RecurringParts.Find(ArrowArray(columns: 60, rows: 1, step: 60, marks: 0)));

    [Fact]
    public void What_does_not_recur_is_swept_together()
    {
        var rings = new ContourSetBuilder();
        for (int i = 0; i < 200; i++)
        {
            rings.AddRing([new(i * 100, 0), new((i * 100) + 20 + i, 3), new(i * 100, 50)]);
        }

        Assert.Null(RecurringParts.Find(rings.ToContourSet()));
    }

    [Fact]
    public void Copies_that_lock_into_each_other_come_in_order()
    {
        // Every second column of tilted bars is moved up by half a step, so that no height is free of figures.
        var rings = new ContourSetBuilder();
        for (int i = 0; i < 100; i++)
        {
            AddMoved(rings, ContourSet.FromRing([new(0, 0), new(5, 1), new(9, 60), new(3, 40)]), i % 10 * 11, (i / 10 * 70) + (i % 2 * 35));
        }

        Assert.NotNull(RecurringParts.Find(rings.ToContourSet()));
        AssertAsWhole(rings.ToContourSet(), FillRule.NonZero, 3);
    }

    private static ContourSet ArrowArray(int columns, int rows, int step, int marks)
    {
        var rings = new ContourSetBuilder();
        for (int i = 0; i < marks; i++)
        {
            rings.AddRing([new(-100 - i, i * 130), new(-90, i * 130), new(-88, (i * 130) + 10), new(-99 - i, (i * 130) + 11)]);
        }

        for (int i = 0; i < columns * rows; i++)
        {
            AddMoved(rings, ContourSet.FromRing(Arrow), i % columns * step, i / columns * step);
        }

        return rings.ToContourSet();
    }

    private static void AddMoved(ContourSetBuilder rings, ContourSet shape, int dx, int dy)
    {
        for (int r = 0; r < shape.Count; r++)
        {
            foreach (GridPoint point in shape[r])
            {
                rings.Add(new GridPoint(point.X + dx, point.Y + dy));
            }

            rings.EndRing();
        }
    }

    private static void AssertAsWhole(ContourSet rings, FillRule rule, int threads)
    {
        Arrangement whole = Arrangement.Build(rings, null, 1, default);
        ContourSet expected = RegionSweep.Outlines(whole, CoverRule.Single(rule), 1, default);
        ContourSet actual = RegionBoolean.Merge(rings, rule, threads);
        Assert.Equal(expected.Count, actual.Count);
        Assert.Equal(expected.Points.ToArray(), actual.Points.ToArray());
        Assert.Equal(
            RegionSweep.Decompose(whole, CoverRule.Single(rule), 1, default),
            TrapezoidDecomposition.Compute(rings, rule, threads));
    }
}
