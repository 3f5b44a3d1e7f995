using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Tests.FrontEnds.Layout;

namespace PatternCompiler.Tests.Passes.Flatten;

public sealed class PathOutlineTests
{
    private static FlatLayer Flatten(string path, double chordNanometres = 1) => FlattenPass.Run(
        LayoutText.Read("layout 1\nunit nm\ngrid 1 nm\nlayer a\n" + path),
        new FlattenOptions { ChordErrorNanometres = chordNanometres },
        new DiagnosticSink()).Groups[0];

    private static string Outline(string path)
    {
        ContourSet area = Flatten(path).Area;
        return string.Join(" | ", Enumerable.Range(0, area.Count).Select(i => string.Join(" ", area[i].ToArray())));
    }

    [Theory]
    [InlineData("flat", "(0, -2) (10, -2) (10, 2) (0, 2)")]
    [InlineData("square", "(-2, -2) (12, -2) (12, 2) (-2, 2)")]
    public void Straight_paths(string ends, string expected) =>
        Assert.Equal(expected, Outline($"path on a width 4 ends {ends} (0, 0) (10, 0)\n"));

    [Fact]
    public void An_odd_width_stays_the_same_wherever_the_path_lies()
    {
        Assert.Equal("(0, -1) (10, -1) (10, 2) (0, 2)", Outline("path on a width 3 (0, 0) (10, 0)\n"));
        Assert.Equal("(0, -8) (10, -8) (10, -5) (0, -5)", Outline("path on a width 3 (0, -7) (10, -7)\n"));
    }

    [Fact]
    public void Corners_are_mitred() => Assert.Equal(
        "(0, -2) (22, -2) (22, 20) (18, 20) (18, 2) (0, 2)",
        Outline("path on a width 4 (0, 0) (20, 0) (20, 20)\n"));

    [Fact]
    public void Sharp_corners_are_cut_straight()
    {
        // A turn of 180° − 2·atan(1/10) needs a mitre of about ten widths: beyond the limit of four.
        ContourSet area = Flatten("path on a width 4 (0, 0) (1000, 0) (0, 200)\n").Area;
        Assert.True(area.Points.ToArray().Max(p => p.X) < 1004);
    }

    [Fact]
    public void A_closed_path_is_a_frame() => Assert.Equal(
        "(22, -2) (22, 22) (-2, 22) (-2, -2) | (2, 2) (2, 18) (18, 18) (18, 2)",
        Outline("path on a width 4 (0, 0) (20, 0) (20, 20) (0, 20) (0, 0)\n"));

    [Fact]
    public void Round_ends_are_half_circles()
    {
        // Closed form of a stadium: length times width plus the circle.
        FlatLayer flat = Flatten("path on a width 2000 ends round (0, 0) (30000, 40000)\n");
        double exact = (50000.0 * 2000) + (Math.PI * 1e6);
        Assert.Equal(exact, FlattenPassTests.Area(flat.Area), exact * 2e-3);
        Assert.InRange(FlattenPassTests.Area(flat.Area), exact - (2 * Math.PI * 1000 * 1.71) - (100_000 * 0.71), exact + (100_000 * 0.71));
    }

    [Theory]
    [InlineData("(0, 0) (100, 0) (50, 0)")] // turns right back
    [InlineData("(0, 0) (100, 0) (100, 3) (0, 3)")] // closer together than the width
    [InlineData("(0, 0) (100, 0) (90, 5) (100, 10)")]
    [InlineData("(0, 0) (100, 100) (100, 0) (0, 100)")] // crosses itself
    [InlineData("(0, 0) (2, 1) (4, 0) (6, 5) (2, 9)")]
    [InlineData("(0, 0) (100, 0) (0, 1) (100, 2)")]
    public void However_a_path_turns_the_outline_winds_one_way(string points)
    {
        ContourSet area = Flatten($"path on a width 20 {points}\n").Area;
        for (int x = -30; x < 140; x += 3)
        {
            for (int y = -30; y < 140; y += 3)
            {
                Assert.True(Winding(area, x + 0.37, y + 0.41) >= 0, $"({x}, {y})");
            }
        }

        // Every point within half a width of the line itself, but for the rounding of the flat ends, is covered.
        (double X, double Y)[] corners = [.. points.Split(") (").Select(p => p.Trim('(', ')').Split(", ")).Select(p => (Number(p[0]), Number(p[1])))];
        for (int i = 0; i + 1 < corners.Length; i++)
        {
            (double dx, double dy) = (corners[i + 1].X - corners[i].X, corners[i + 1].Y - corners[i].Y);
            double length = Math.Sqrt((dx * dx) + (dy * dy));
            for (double t = 1 / length; t < 1 - (1 / length); t += 0.07)
            {
                for (double s = -9; s <= 9; s += 1.5)
                {
                    double x = corners[i].X + (t * dx) - (s * dy / length);
                    double y = corners[i].Y + (t * dy) + (s * dx / length);
                    Assert.True(Winding(area, x, y) > 0, $"({x}, {y}) beside segment {i}");
                }
            }
        }
    }

    [Fact]
    public void A_path_of_one_place_is_a_spot()
    {
        Assert.Equal("(3, 3) (7, 3) (7, 7) (3, 7)", Outline("path on a width 4 ends square (5, 5) (5, 5)\n"));
        Assert.Equal(0, Flatten("dot on a at (0, 0)\npath on a width 4 (5, 5) (5, 5)\n").Area.Count);
        Assert.Equal(Math.PI * 1e6, FlattenPassTests.Area(Flatten("path on a width 2000 ends round (5, 5) (5, 5)\n").Area), 2 * Math.PI * 1000 * 1.71);
    }

    private static double Number(string text) => double.Parse(text, System.Globalization.CultureInfo.InvariantCulture);

    private static int Winding(ContourSet rings, double x, double y)
    {
        int winding = 0;
        for (int r = 0; r < rings.Count; r++)
        {
            ReadOnlySpan<GridPoint> ring = rings[r];
            for (int i = 0; i < ring.Length; i++)
            {
                GridPoint p = ring[i];
                GridPoint q = ring[(i + 1) % ring.Length];
                if (p.Y <= y != q.Y <= y)
                {
                    double side = (((double)q.X - p.X) * (y - p.Y)) - ((x - p.X) * ((double)q.Y - p.Y));
                    winding += p.Y <= y ? (side > 0 ? 1 : 0) : (side < 0 ? -1 : 0);
                }
            }
        }

        return winding;
    }
}
