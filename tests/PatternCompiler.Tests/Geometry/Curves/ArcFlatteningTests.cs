using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.Tests.Geometry.Curves;

public sealed class ArcFlatteningTests
{
    // Chord geometry: segments = ceil(2π / (2·acos(1 − e/r))), on a 0.1 nm grid.
    [Theory]
    [InlineData(100_000, 10, 223)]
    [InlineData(10_000, 10, 71)]
    [InlineData(500_000, 10, 497)]
    public void Segments_of_a_full_circle_follow_from_the_chord_error(double radius, double error, int expected) =>
        Assert.Equal(expected, ArcFlattening.SegmentCount(radius, 2 * Math.PI, error));

    [Fact]
    public void A_tiny_circle_keeps_eight_segments() => Assert.Equal(8, ArcFlattening.SegmentCount(1, 2 * Math.PI, 10));

    [Fact]
    public void A_circle_reaches_its_radius_on_both_axes_and_is_symmetric()
    {
        GridPoint[] ring = Circle(7, -3, 12_345, 10);
        Assert.Contains(new GridPoint(7 + 12_345, -3), ring);
        Assert.Contains(new GridPoint(7 - 12_345, -3), ring);
        Assert.Contains(new GridPoint(7, -3 + 12_345), ring);
        Assert.Contains(new GridPoint(7, -3 - 12_345), ring);
        var set = ring.ToHashSet();
        Assert.All(ring, p => Assert.Contains(new GridPoint(14 - p.X, p.Y), set));
        Assert.All(ring, p => Assert.Contains(new GridPoint(p.X, -6 - p.Y), set));
        Assert.All(ring, p => Assert.Contains(new GridPoint(7 + p.Y + 3, -3 + p.X - 7), set));
    }

    [Fact]
    public void Every_vertex_lies_on_the_circle_and_every_chord_within_the_error() =>
        Gen.Select(Gen.Double[1, 1e6], Gen.Double[1, 100]).Sample((radius, error) =>
        {
            GridPoint[] ring = Circle(0, 0, radius, error);
            for (int i = 0; i < ring.Length; i++)
            {
                GridPoint a = ring[i];
                GridPoint b = ring[(i + 1) % ring.Length];
                double middle = Math.Sqrt(Math.Pow((a.X + (double)b.X) / 2, 2) + Math.Pow((a.Y + (double)b.Y) / 2, 2));
                Assert.InRange(Math.Sqrt(((double)a.X * a.X) + ((double)a.Y * a.Y)), radius - 0.7072, radius + 0.7072);
                // Eight corners at the least: a circle smaller than the error needs no finer check.
                if (radius > 4 * error)
                {
                    Assert.InRange(middle, radius - error - 0.7072, radius + 0.7072);
                }
            }
        }, iter: Iterations.Usually(100));

    [Fact]
    public void Area_of_a_circle_lies_between_closed_form_and_closed_form_less_the_chord_bound() =>
        Gen.Double[1000, 1e6].Sample(radius =>
        {
            double area = Area(Circle(5, 5, radius, 10));
            double exact = Math.PI * radius * radius;
            // The ring lies between the circles of radius r − e and r, up to rounding of the corners.
            Assert.InRange(area, exact - (2 * Math.PI * radius * 10.8), exact + (2 * Math.PI * radius * 0.8));
        }, iter: Iterations.Usually(100));

    // Bulge geometry, chord (0,0)→(1,0) (circle geometry; scaled to grid steps): b = 1 passes (0.5, −0.5), to the right of
    // travel; b = −1 passes (0.5, 0.5); b = tan(22.5°) is a quarter circle about (0.5, 0.5) with sagitta 0.20710678.
    [Theory]
    [InlineData(1.0, -500_000)]
    [InlineData(-1.0, 500_000)]
    [InlineData(0.414213562373095, -207_106.78)]
    public void A_bulge_passes_through_the_middle_of_its_arc(double bulge, double yMiddle)
    {
        var points = new List<PlanePoint>();
        ArcFlattening.AppendBulge(points, new(0, 0), new(1_000_000, 0), bulge, 0.5);
        double extreme = yMiddle < 0 ? points.Min(p => p.Y) : points.Max(p => p.Y);
        Assert.InRange(extreme, yMiddle - 0.51, yMiddle + 0.51);
    }

    [Fact]
    public void Points_of_a_bulge_lie_on_one_circle_through_both_ends() =>
        Gen.Select(Gen.Double[-1e6, 1e6], Gen.Double[-1e6, 1e6], Gen.Double[-20, 20]).Where((x, y, b) => Math.Abs(b) > 1e-3 && Math.Abs(x) + Math.Abs(y) > 10).Sample((x, y, bulge) =>
        {
            var points = new List<PlanePoint>();
            ArcFlattening.AppendBulge(points, new(0, 0), new(x, y), bulge, 10);
            double length = Math.Sqrt((x * x) + (y * y));
            double radius = length * (1 + (bulge * bulge)) / (4 * Math.Abs(bulge));
            // The centre lies at distance c·(1 − b²)/(4b) to the left of the chord's middle.
            double d = (1 - (bulge * bulge)) / (4 * bulge);
            var centre = new PlanePoint((x / 2) - (y * d), (y / 2) + (x * d));
            Assert.All(points, p => Assert.InRange((p - centre).Length, radius * (1 - 1e-9), radius * (1 + 1e-9)));
        }, iter: Iterations.Usually(100));

    [Fact]
    public void A_mirrored_ellipse_still_runs_counter_clockwise()
    {
        var rings = new ContourSetBuilder();
        ArcFlattening.AddEllipse(rings, new(0, 0), new(-3000, 0), new(0, 1000), 1);
        Assert.InRange(Area(rings.ToContourSet()[0].ToArray()), Math.PI * 3e6 * 0.998, Math.PI * 3e6);
    }

    private static GridPoint[] Circle(int x, int y, double radius, double error)
    {
        var rings = new ContourSetBuilder();
        ArcFlattening.AddCircle(rings, new(x, y), radius, error);
        return rings.ToContourSet()[0].ToArray();
    }

    private static double Area(GridPoint[] ring)
    {
        double twice = 0;
        for (int i = 0; i < ring.Length; i++)
        {
            GridPoint a = ring[i];
            GridPoint b = ring[(i + 1) % ring.Length];
            twice += ((double)a.X * b.Y) - ((double)b.X * a.Y);
        }

        return twice / 2;
    }
}
