using System.Globalization;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using static PatternCompiler.Tests.FrontEnds.Dxf.DxfTest;

namespace PatternCompiler.Tests.FrontEnds.Dxf;

/// <summary>Curved tracks against their exact shape: a part of a ring, whose ends are square to the tangent.</summary>
public sealed class DxfTrackTests
{
    private const double ChordErrorMicrometres = 0.001;

    // Angle of the arc, its turn in the drawing, radius, width from a thin line to one whose inner side has no radius left.
    private static readonly Gen<(double Angle, double Turn, double Radius, double Width)> Arcs = Gen.Select(
        Gen.Double[0.05, 5.5], Gen.Double[-Math.PI, Math.PI], Gen.Double[1, 60], Gen.Double[0.01, 1.9]).Select((angle, turn, radius, part) => (angle, turn, radius, part * radius));

    [Fact]
    public void An_arc_is_a_part_of_a_ring() => Arcs.Sample((angle, turn, radius, width) =>
    {
        ContourSet area = AreaOf(Read(Drawing(Track(angle, turn, radius, width, width))));
        double exact = angle * radius * width;
        double most = ((2 * angle * (radius + (width / 2))) + (2 * width)) * (ChordErrorMicrometres + 0.0002);
        Assert.InRange(Math.Abs(SquareMicrometres(area) - exact), 0, most);
        AssertEnds(area, angle, turn, radius, width, width);
    }, iter: Iterations.Usually(300));

    [Fact]
    public void A_tapered_arc_has_square_ends() => Arcs.Sample((angle, turn, radius, width) =>
    {
        // The width falls in proportion to the angle: its mean is that of the ends.
        ContourSet area = AreaOf(Read(Drawing(Track(angle, turn, radius, width, width / 3))));
        double exact = angle * radius * width * 2 / 3;
        double most = ((2 * angle * (radius + (width / 2))) + (2 * width)) * (ChordErrorMicrometres + 0.0002);
        Assert.InRange(Math.Abs(SquareMicrometres(area) - exact), 0, most);
        AssertEnds(area, angle, turn, radius, width, width / 3);
    }, iter: Iterations.Usually(300));

    // Both halves round the same corners: neither gap nor overlap but where chords are rounded.
    [Fact]
    public void Two_parts_of_a_ring_meet_without_a_wedge() => Arcs.Sample((angle, turn, radius, width) =>
    {
        double rest = (2 * Math.PI) - angle;
        LayoutDocument layout = Read(Drawing(Track(angle, turn, radius, width, width), Track(rest, turn + angle, radius, width, width)));
        ContourSet first = Area(layout.Cells[0].Shapes[0]);
        ContourSet second = Area(layout.Cells[0].Shapes[1]);
        Assert.InRange(SquareMicrometres(RegionBoolean.Compute(first, second, BooleanOperation.Intersection)), 0, 2 * width * 0.0002);

        AssertEnds(first, angle, turn, radius, width, width);
        AssertEnds(second, rest, turn + angle, radius, width, width);
    }, iter: Iterations.Usually(200));

    // Beside so wide a track no radius is left, and no number of chords would do for its outer side.
    [Theory]
    [InlineData("40 1e12 41 1")]
    [InlineData("40 1 41 1e60")]
    [InlineData("40 1e300 41 1e300")]
    [InlineData("43 1e12")]
    [InlineData("43 1e300")]
    public void An_arc_wider_than_the_grid_is_refused_at_once(string width)
    {
        string widths = width.StartsWith("43", StringComparison.Ordinal) ? $"{width} 10 -50 20 0 42 1 10 50 20 0" : $"10 -50 20 0 {width} 42 1 10 50 20 0";
        Assert.Contains("PC0306: reaches beyond", Assert.Throws<CompileException>(() => Read(Drawing($"LWPOLYLINE 8 a 90 2 {widths}"))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Half_a_ring_from_the_left_to_the_right_ends_level()
    {
        ContourSet area = AreaOf(Read(Drawing("LWPOLYLINE 8 a 90 2 43 60 10 -50 20 0 42 1 10 50 20 0")));
        GridPoint[] points = area[0].ToArray();
        Assert.Equal([-800_000, -200_000, 200_000, 800_000], points.Where(p => p.Y == 0).Select(p => p.X).Order());
        Assert.Equal(0, points.Max(p => p.Y));
    }

    // Corners of both ends: on the radius of the end, half its width in and out.
    private static void AssertEnds(ContourSet area, double angle, double turn, double radius, double width, double endWidth)
    {
        GridPoint[] all = area.Points.ToArray();
        foreach ((double at, double wide) in ((double, double)[])[(turn, width), (turn + angle, endWidth)])
        {
            foreach (double side in (double[])[radius - (wide / 2), radius + (wide / 2)])
            {
                (double x, double y) = (side * Math.Cos(at) * 10_000, side * Math.Sin(at) * 10_000);
                Assert.Contains(all, p => Math.Abs(p.X - x) <= 0.6 && Math.Abs(p.Y - y) <= 0.6);
            }
        }
    }

    private static string Track(double angle, double turn, double radius, double width, double endWidth) => string.Create(
        CultureInfo.InvariantCulture,
        $"LWPOLYLINE 8 a 90 2 70 0 10 {radius * Math.Cos(turn):R} 20 {radius * Math.Sin(turn):R} 40 {width:R} 41 {endWidth:R} 42 {Math.Tan(angle / 4):R} 10 {radius * Math.Cos(turn + angle):R} 20 {radius * Math.Sin(turn + angle):R} 40 {endWidth:R} 41 {endWidth:R}");

    private static ContourSet AreaOf(LayoutDocument layout) => FlattenPass.Run(layout, FlattenOptions.Default, new()).Groups[0].Area;

    private static ContourSet Area(Shape shape)
    {
        var layout = new LayoutDocument(100, ["a"], [new Cell("T", [shape], [])], "T");
        return RegionBoolean.Merge(AreaOf(layout), FillRule.NonZero, 1, default);
    }

    private static double SquareMicrometres(ContourSet area)
    {
        ContourSet merged = RegionBoolean.Merge(area, FillRule.NonZero, 1, default);
        return Enumerable.Range(0, merged.Count).Sum(i => (double)ExactArea.Twice(merged[i])) / 2 * 1e-8;
    }
}
