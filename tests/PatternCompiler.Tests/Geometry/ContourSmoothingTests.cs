using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;

namespace PatternCompiler.Tests.Geometry;

public sealed class ContourSmoothingTests
{
    [Fact]
    public void An_over_sampled_circle_keeps_few_points_and_its_shape()
    {
        var ring = new ContourSetBuilder();
        for (int i = 0; i < 5000; i++)
        {
            double angle = 2 * Math.PI * i / 5000;
            ring.Add(new GridPoint((int)Math.Round(10_000 * Math.Cos(angle)), (int)Math.Round(10_000 * Math.Sin(angle))));
        }

        ContourSet circle = RegionBoolean.Merge(ring.ToContourSet());
        ContourSet smooth = ContourSmoothing.Smooth(circle, 10);

        // A chord of sagitta s spans an angle of 2·acos(1 − s/r): here 5.1°, 70 chords at least.
        Assert.InRange(smooth.PointCount, 60, 110);
        AssertWithin(circle, smooth, 10);
    }

    [Fact]
    public void No_point_moves_further_than_the_tolerance() =>
        Gen.Select(Gen.OneOf(RandomRings.Any(300, 3, 30), RandomRings.Any(30, 3, 30)), Gen.Int[1, 20]).Sample(
            (rings, tolerance) =>
            {
                ContourSet region = RegionBoolean.Merge(rings);
                ContourSet smooth = ContourSmoothing.Smooth(region, tolerance);
                RegionChecker.AssertValidOutlines(smooth);

                // One more step where smoothed edges came to cross and were rounded.
                AssertWithin(smooth, region, tolerance + 1);
            },
            iter: Iterations.Usually(300));

    [Fact]
    public void Without_tolerance_nothing_changes()
    {
        ContourSet box = new GridBox(0, 0, 5, 5).ToContourSet();
        Assert.Same(box, ContourSmoothing.Smooth(box, 0));
    }

    /// <summary>Every corner of one outline lies within a distance of an edge of the other.</summary>
    private static void AssertWithin(ContourSet points, ContourSet outline, double distance)
    {
        var edges = RegionChecker.Edges(outline);
        foreach (GridPoint p in points.Points)
        {
            Assert.Contains(edges, edge => Distance(p, edge) <= distance + 1e-9);
        }
    }

    private static double Distance(GridPoint p, (GridPoint From, GridPoint To) edge)
    {
        double dx = edge.To.X - edge.From.X, dy = edge.To.Y - edge.From.Y;
        double t = Math.Clamp((((p.X - edge.From.X) * dx) + ((p.Y - edge.From.Y) * dy)) / ((dx * dx) + (dy * dy)), 0, 1);
        return Math.Sqrt(Math.Pow(p.X - edge.From.X - (t * dx), 2) + Math.Pow(p.Y - edge.From.Y - (t * dy), 2));
    }
}
