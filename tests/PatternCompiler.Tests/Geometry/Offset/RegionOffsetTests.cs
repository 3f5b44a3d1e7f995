using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Geometry.Regions;

namespace PatternCompiler.Tests.Geometry.Offset;

public sealed class RegionOffsetTests
{
    private static readonly OffsetShape Mitred = new(OffsetJoin.Mitre);
    private static readonly OffsetShape Rounded = new(OffsetJoin.Round, ChordError: 0.5);

    // Closed forms of Minkowski sums: rectangle w × h and a square, (w + 2d)(h + 2d); and a disc, w·h + 2d(w + h) + π·d².
    [Fact]
    public void A_mitred_rectangle_grows_by_the_distance_on_every_side() =>
        Gen.Select(Gen.Int[1, 10_000], Gen.Int[1, 10_000], Gen.Int[1, 5000]).Sample((w, h, d) =>
            Assert.Equal(2 * (Int128)(w + (2 * d)) * (h + (2 * d)), ExactArea.Twice(RegionOffset.Compute(Box(w, h), d, Mitred))), iter: Iterations.Usually(100));

    [Fact]
    public void A_rounded_rectangle_grows_by_perimeter_and_disc() =>
        Gen.Select(Gen.Int[1, 100_000], Gen.Int[1, 100_000], Gen.Int[100, 50_000]).Sample((w, h, d) =>
        {
            double exact = ((double)w * h) + (2.0 * d * (w + h)) + (Math.PI * d * d);
            double area = (double)ExactArea.Twice(RegionOffset.Compute(Box(w, h), d, Rounded)) / 2;

            // Chords fall short by up to the chord error, points round by up to 0.71 steps, along the circle's length.
            Assert.InRange(area, exact - (2 * Math.PI * d * 1.3), exact + (2 * Math.PI * d * 0.8));
        }, iter: Iterations.Usually(100));

    [Fact]
    public void Shrinking_a_rectangle_leaves_the_rest_or_nothing() =>
        Gen.Select(Gen.Int[1, 300], Gen.Int[1, 300], Gen.Int[1, 200], Gen.Enum<OffsetJoin>()).Sample((w, h, d, join) =>
        {
            Int128 left = (Int128)Math.Max(0, w - (2 * d)) * Math.Max(0, h - (2 * d));
            Assert.Equal(2 * left, ExactArea.Twice(RegionOffset.Compute(Box(w, h), -d, new OffsetShape(join))));
        }, iter: Iterations.Usually(100));

    [Fact]
    public void A_square_join_cuts_at_the_distance()
    {
        // About a right angle the cut lies at the distance on the bisector: it takes d²·(3 − 2·√2) off each mitre.
        double area = (double)ExactArea.Twice(RegionOffset.Compute(Box(1_000_000, 1_000_000), 100_000, new OffsetShape(OffsetJoin.Square))) / 2;
        double exact = (1.2e6 * 1.2e6) - (4 * 1e10 * (3 - (2 * Math.Sqrt(2))));
        Assert.InRange(area, exact - 1e6, exact + 1e6);
    }

    [Fact]
    public void A_sharp_corner_keeps_its_mitre_up_to_the_limit()
    {
        // The tip's angle is 2·atan(1/10), so its mitre is 1/sin(atan(1/10)) = 10.05 distances long.
        ContourSet needle = ContourSet.FromRing(new(0, 0), new(100_000, 10_000), new(0, 20_000));
        int Reach(double limit)
        {
            int right = int.MinValue;
            foreach (GridPoint p in RegionOffset.Compute(needle, 1000, new OffsetShape(OffsetJoin.Mitre, limit)).Points)
            {
                right = Math.Max(right, p.X);
            }

            return right;
        }

        Assert.Equal(110_050, Reach(11));
        Assert.Equal(101_000, Reach(10));
    }

    [Fact]
    public void A_dumbbell_splits_and_its_bar_vanishes()
    {
        ContourSet dumbbell = ContourSet.FromRing(
            new(0, 0), new(100, 0), new(100, 40), new(200, 40), new(200, 0), new(300, 0), new(300, 100), new(200, 100), new(200, 60), new(100, 60), new(100, 100), new(0, 100));
        ContourSet shrunk = RegionOffset.Compute(dumbbell, -15, Mitred);
        Assert.Equal(2, shrunk.Count);
        Assert.Equal(2 * 2 * 70 * 70, ExactArea.Twice(shrunk));
    }

    [Fact]
    public void A_hole_closes()
    {
        ContourSet ring = RegionBoolean.Compute(Box(100, 100), new GridBox(40, 40, 60, 60).ToContourSet(), BooleanOperation.Difference);
        Assert.Equal(2 * ((120 * 120) - 0), ExactArea.Twice(RegionOffset.Compute(ring, 10, Mitred)));
        Assert.Equal(2, RegionOffset.Compute(ring, 9, Mitred).Count);
    }

    [Fact]
    public void Growing_covers_the_area_and_shrinking_stays_inside() =>
        Gen.Select(RandomRings.Any(20_000, 3, 10), Gen.Int[1, 3000], Gen.Enum<OffsetJoin>()).Sample(
            (rings, d, join) =>
            {
                ContourSet region = RegionBoolean.Merge(rings);
                ContourSet grown = RegionOffset.Compute(region, d, new OffsetShape(join));
                ContourSet shrunk = RegionOffset.Compute(region, -d, new OffsetShape(join));
                RegionChecker.AssertValidOutlines(grown);
                RegionChecker.AssertValidOutlines(shrunk);

                // Up to one step of rounding along the outline.
                Assert.True(Outside(region, grown) <= Length(region), "growing lost area");
                Assert.True(Outside(shrunk, region) <= Length(region), "shrinking gained area");
            },
            iter: Iterations.Usually(200));

    [Fact]
    public void Every_point_of_a_round_offset_is_at_the_distance() =>
        Gen.Select(RandomRings.Any(20_000, 3, 10), Gen.Int[10, 3000]).Sample(
            (rings, d) =>
            {
                ContourSet region = RegionBoolean.Merge(rings);
                var edges = RegionChecker.Edges(region);
                foreach (GridPoint p in RegionOffset.Compute(region, d, Rounded).Points)
                {
                    double nearest = edges.Min(edge => Distance(p, edge));
                    Assert.InRange(nearest, d - 3, d + 3);
                }
            },
            iter: Iterations.Usually(200));

    [Fact]
    public void A_straight_path_has_the_ends_asked_for()
    {
        GridPoint[] path = [new(0, 0), new(1000, 0)];
        Assert.Equal(2 * 1000 * 200, ExactArea.Twice(RegionOffset.OfPath(path, 100, Mitred, PathCap.Flat)));
        Assert.Equal(2 * 1200 * 200, ExactArea.Twice(RegionOffset.OfPath(path, 100, Mitred, PathCap.Square)));
        double round = (double)ExactArea.Twice(RegionOffset.OfPath(path, 100, Rounded, PathCap.Round)) / 2;
        Assert.InRange(round, 200_000 + (Math.PI * 10_000) - 400, 200_000 + (Math.PI * 10_000) + 400);
    }

    [Fact]
    public void A_path_that_turns_sharply_or_crosses_itself_has_no_holes_in_its_line() =>
        Gen.Select(Gen.Int[-2000, 2000], Gen.Int[-2000, 2000]).Select((x, y) => new GridPoint(x, y)).Array[2, 8].Sample(
            path =>
            {
                ContourSet line = RegionOffset.OfPath(path, 100, Rounded, PathCap.Round);
                RegionChecker.AssertValidOutlines(line);
                for (int i = 0; i + 1 < path.Length; i++)
                {
                    ContourSet leg = RegionOffset.OfPath([path[i], path[i + 1]], 97, Rounded, PathCap.Round);
                    Assert.Equal(0, RegionBoolean.Compute(leg, line, BooleanOperation.Difference).Count);
                }
            },
            iter: Iterations.Usually(200));

    private static ContourSet Box(int w, int h) => new GridBox(0, 0, w, h).ToContourSet();

    private static double Outside(ContourSet a, ContourSet b) =>
        (double)ExactArea.Twice(RegionBoolean.Compute(a, b, BooleanOperation.Difference)) / 2;

    private static double Length(ContourSet region) =>
        RegionChecker.Edges(region).Sum(e => Math.Sqrt(Math.Pow((double)e.To.X - e.From.X, 2) + Math.Pow((double)e.To.Y - e.From.Y, 2)));

    private static double Distance(GridPoint p, (GridPoint From, GridPoint To) edge)
    {
        double dx = edge.To.X - edge.From.X, dy = edge.To.Y - edge.From.Y;
        double t = Math.Clamp((((p.X - edge.From.X) * dx) + ((p.Y - edge.From.Y) * dy)) / ((dx * dx) + (dy * dy)), 0, 1);
        return Math.Sqrt(Math.Pow(p.X - edge.From.X - (t * dx), 2) + Math.Pow(p.Y - edge.From.Y - (t * dy), 2));
    }
}
