using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.Tests.Geometry.Curves;

/// <summary>Outlines of strokes along curves: the directions at ends and corners are those of the curve, not of its chords.</summary>
public sealed class StrokeCourseTests
{
    private const double ChordError = 10;

    // An arc from the point at the angle `start`, about the origin.
    private static StrokeCourse Arc(double radius, double start, double sweep)
    {
        var points = new List<PlanePoint>();
        ArcFlattening.AppendArc(points, default, new(radius, 0), new(0, radius), start, sweep, ChordError);
        var course = new StrokeCourse(points[0]);
        course.CurveTo(points.ToArray().AsSpan(1), Tangent(start, sweep), Tangent(start + sweep, sweep));
        return course;
    }

    private static PlanePoint At(double radius, double angle) => new(radius * Math.Cos(angle), radius * Math.Sin(angle));

    private static PlanePoint Tangent(double angle, double sweep) => Math.Sign(sweep) * new PlanePoint(-Math.Sin(angle), Math.Cos(angle));

    // A sector of a ring, by its definition: its four corners lie on two radii.
    [Fact]
    public void Flat_ends_of_an_arc_lie_on_its_radii() => Gen.Select(Gen.Double[0, 6], Gen.Double[-6, 6], Gen.Double[0.05, 1.9])
        .Where((_, sweep, _) => Math.Abs(sweep) > 0.1)
        .Sample((start, sweep, width) =>
        {
            const double Radius = 100_000;
            double half = width * Radius / 2;
            List<PlanePoint> ring = Assert.Single(PathOutline.Of(Arc(Radius, start, sweep), new StrokeStyle(2 * half, StrokeEnd.Flat), ChordError));
            foreach (PlanePoint corner in (PlanePoint[])[At(Radius - half, start), At(Radius + half, start), At(Radius - half, start + sweep), At(Radius + half, start + sweep)])
            {
                Assert.Contains(ring, point => (point - corner).Length < 0.01);
            }

            Assert.All(ring, point => Assert.InRange(point.Length, Radius - half - 0.01, Radius + half + 0.01));
        }, iter: Iterations.Usually(100));

    // However wide the stroke is beside its radius, it covers a ring sector and, beyond the centre, its mirror image:
    // nothing further than the chord error outside, everything further than that inside.
    [Fact]
    public void A_stroke_wider_than_its_arc_covers_what_its_normal_sweeps() => Gen.Select(Gen.Double[0, 6], Gen.Double[-3, 3], Gen.Double[0.2, 8])
        .Where((_, sweep, _) => Math.Abs(sweep) > 0.2)
        .Sample((start, sweep, width) =>
        {
            const double Radius = 50_000;
            double half = width * Radius / 2;
            var rings = PathOutline.Of(Arc(Radius, start, sweep), new StrokeStyle(2 * half, StrokeEnd.Flat), ChordError);
            double low = Math.Min(start, start + sweep);
            double high = Math.Max(start, start + sweep);
            for (int i = 0; i < 40; i++)
            {
                for (int j = 0; j < 25; j++)
                {
                    PlanePoint point = At((j + 0.5) / 25 * 1.2 * (Radius + half), i * 2 * Math.PI / 40 + 0.013);
                    double distance = point.Length;
                    bool isOuter = IsBetween(point, low, high, 0) && distance < Radius + half - (3 * ChordError) && distance > Radius - half + (3 * ChordError);
                    bool isInner = IsBetween(-1 * point, low, high, 0) && distance < half - Radius - (3 * ChordError);
                    bool mayOuter = IsBetween(point, low, high, 3 * ChordError) && distance < Radius + half + (3 * ChordError) && distance > Radius - half - (3 * ChordError);
                    bool mayInner = IsBetween(-1 * point, low, high, 3 * ChordError) && distance < half - Radius + (3 * ChordError);
                    int winding = rings.Sum(ring => Winding(ring, point));
                    Assert.True(winding >= 0, $"({point.X}, {point.Y})");
                    Assert.True(winding > 0 ? mayOuter || mayInner : !isOuter && !isInner, $"({point.X}, {point.Y}): {winding}");
                }
            }
        }, iter: Iterations.Usually(200));

    // A half circle and the tangent line at its end are one smooth course: no corner, whatever the join.
    [Theory]
    [InlineData(StrokeJoin.Mitre)]
    [InlineData(StrokeJoin.Cut)]
    [InlineData(StrokeJoin.Round)]
    internal void A_line_that_goes_on_along_the_tangent_makes_no_corner(StrokeJoin join)
    {
        StrokeCourse course = Arc(100_000, -Math.PI / 2, Math.PI);
        course.LineTo(new(-50_000, 100_000));
        List<PlanePoint> ring = Assert.Single(PathOutline.Of(course, new StrokeStyle(60_000, StrokeEnd.Flat, join), ChordError));
        Assert.Contains(ring, point => (point - new PlanePoint(0, 130_000)).Length < 0.01);
        Assert.Contains(ring, point => (point - new PlanePoint(0, 70_000)).Length < 0.01);
        Assert.All(ring, point => Assert.True(point.Y < 130_000.01 && point.Y > -130_000.01, $"({point.X}, {point.Y})"));
    }

    // A quarter circle that arrives upward and a line to the right: the mitre's corner is that of the two tangents.
    [Fact]
    public void A_mitre_lies_between_the_true_directions()
    {
        StrokeCourse course = Arc(100_000, -Math.PI / 2, Math.PI / 2);
        course.LineTo(new(200_000, 0));
        var rings = PathOutline.Of(course, new StrokeStyle(20_000, StrokeEnd.Flat), ChordError);
        Assert.Contains(rings.SelectMany(ring => ring), point => (point - new PlanePoint(90_000, 10_000)).Length < 0.01);
    }

    private static bool IsBetween(PlanePoint point, double low, double high, double slack)
    {
        double angle = Math.Atan2(point.Y, point.X);
        double margin = slack / Math.Max(point.Length, slack);
        for (int turn = -2; turn <= 2; turn++)
        {
            double at = angle + (turn * 2 * Math.PI);
            if (at >= low - margin && at <= high + margin)
            {
                return slack > 0 || (at > low + 1e-3 && at < high - 1e-3);
            }
        }

        return false;
    }

    private static int Winding(List<PlanePoint> ring, PlanePoint at)
    {
        int winding = 0;
        for (int i = 0; i < ring.Count; i++)
        {
            (PlanePoint p, PlanePoint q) = (ring[i], ring[(i + 1) % ring.Count]);
            if (p.Y <= at.Y != q.Y <= at.Y)
            {
                double side = ((q.X - p.X) * (at.Y - p.Y)) - ((at.X - p.X) * (q.Y - p.Y));
                winding += p.Y <= at.Y ? (side > 0 ? 1 : 0) : (side < 0 ? -1 : 0);
            }
        }

        return winding;
    }
}
