using PatternCompiler.Limits;
using System.Collections.Immutable;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction.Compare;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Prediction.Compare;

public sealed class AreaComparerTests
{
    private static readonly Gen<(int Width, int Height, int Shift)> Rectangles =
        Gen.Select(Gen.Int[100, 10_000], Gen.Int[100, 10_000], Gen.Int[1, 99]);

    [Fact]
    public void A_shifted_edge_has_the_shift_as_distance_and_shift_times_length_as_area()
    {
        Rectangles.Sample(r =>
        {
            LayerComparison found = Single(Layout(Rectangle(0, 0, r.Width, r.Height)), Layout(Rectangle(0, 0, r.Width + r.Shift, r.Height)));
            Assert.Equal(0.1 * r.Shift, found.EdgeShiftNanometres, 1e-9);
            Assert.Equal(0.01 * r.Shift * r.Height, found.DifferentSquareNanometres, 1e-6);
            Assert.False(found.IsWithin(0.1 * r.Shift - 0.01));
            Assert.True(found.IsWithin(0.1 * r.Shift));
        }, iter: Iterations.Usually(100));
    }

    [Fact]
    public void The_same_area_from_other_pieces_is_the_same()
    {
        Rectangles.Sample(r =>
        {
            FlatLayout whole = Layout(Rectangle(0, 0, r.Width, r.Height));
            FlatLayout pieces = Layout(Rectangle(0, 0, r.Shift, r.Height), Rectangle(r.Shift / 2, 0, r.Width, r.Height), Rectangle(r.Shift, 0, r.Width, r.Height));
            LayerComparison found = Single(whole, pieces);
            Assert.Equal(0, found.DifferentSquareNanometres);
            Assert.True(found.IsWithin(0));
        }, iter: Iterations.Usually(100));
    }

    [Fact]
    public void A_missing_part_counts_with_its_extent_however_finely_it_is_drawn()
    {
        // A polygon of 720 corners: thin slices, but 2000 steps across.
        GridPoint[] disc = [.. Enumerable.Range(0, 720).Select(i => new GridPoint(
            (int)Math.Round(20_000 + 1000 * Math.Cos(i * Math.PI / 360)), (int)Math.Round(1000 * Math.Sin(i * Math.PI / 360))))];
        LayerComparison found = Single(Layout(Rectangle(0, 0, 100, 100)), Layout(Rectangle(0, 0, 100, 100), disc));
        Assert.Equal(200, found.EdgeShiftNanometres, 0.2);
    }

    [Fact]
    public void Grids_are_brought_together()
    {
        var coarse = new FlatLayout(1000, ["a"], [Group(Rectangle(0, 0, 10, 10))]);
        var fine = new FlatLayout(100, ["a"], [Group(Rectangle(0, 0, 100, 100))]);
        Assert.True(Single(coarse, fine).IsWithin(0));
    }

    [Fact]
    public void Grids_that_meet_too_finely_are_refused()
    {
        var coarse = new FlatLayout(1001, ["a"], [Group(Rectangle(0, 0, 1_000_000_000, 10))]);
        var fine = new FlatLayout(1000, ["a"], [Group(Rectangle(0, 0, 100, 100))]);
        Assert.Equal("PC3102", Assert.Throws<CompileException>(() => Single(coarse, fine)).Diagnostic.Code.Id);
    }

    [Fact]
    public void Lines_and_dots_need_their_counterparts()
    {
        FlatLayer group = Group(Rectangle(0, 0, 10, 10));
        var one = new FlatLayout(100, ["a"], [group with { Lines = [[new(0, 0), new(5, 5)]], Dots = [new(1, 1)] }]);
        var other = new FlatLayout(100, ["a"], [group with { Lines = [[new(0, 0), new(5, 6)]] }]);
        Assert.Equal(3, Single(one, other).UnmatchedLines);
    }

    [Fact]
    public void Distances_agree_with_a_plain_search()
    {
        Gen.Select(Gen.Int[0, 1000], Gen.Int[0, 1000]).Array[3, 40].Select(points => points.Select(p => new GridPoint(p.Item1, p.Item2)).ToArray())
            .Sample(ring =>
            {
                var distance = new OutlineDistance(ContourSet.FromRing(ring));
                for (int x = -200; x <= 1200; x += 350)
                {
                    double expected = Enumerable.Range(0, ring.Length).Min(i => ToSegment(ring[i], ring[(i + 1) % ring.Length], x, 333));
                    Assert.Equal(expected, distance.From(x, 333, 0, 1e9), 1e-9);
                }
            }, iter: Iterations.Usually(100));
    }

    private static double ToSegment(GridPoint a, GridPoint b, double x, double y)
    {
        double dx = b.X - a.X;
        double dy = b.Y - a.Y;
        double length = dx * dx + dy * dy;
        double t = length == 0 ? 0 : Math.Clamp(((x - a.X) * dx + (y - a.Y) * dy) / length, 0, 1);
        return Math.Sqrt(Math.Pow(a.X + t * dx - x, 2) + Math.Pow(a.Y + t * dy - y, 2));
    }

    private static LayerComparison Single(FlatLayout first, FlatLayout second) =>
        Assert.Single(AreaComparer.Compare(first, second, WorkLimits.Usual, CancellationToken.None));

    private static GridPoint[] Rectangle(int left, int bottom, int right, int top) => [new(left, bottom), new(right, bottom), new(right, top), new(left, top)];

    private static FlatLayout Layout(params GridPoint[][] rings) => new(100, ["a"], [Group(rings)]);

    private static FlatLayer Group(params GridPoint[][] rings)
    {
        var area = new ContourSetBuilder();
        foreach (GridPoint[] ring in rings)
        {
            foreach (GridPoint point in ring)
            {
                area.Add(point);
            }

            area.EndRing();
        }

        return new FlatLayer(0, DoseFactor.One, area.ToContourSet(), ImmutableArray<ImmutableArray<GridPoint>>.Empty, []);
    }
}
