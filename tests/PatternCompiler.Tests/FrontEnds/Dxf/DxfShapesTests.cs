using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;
using static PatternCompiler.Tests.FrontEnds.Dxf.DxfTest;

namespace PatternCompiler.Tests.FrontEnds.Dxf;

public sealed class DxfShapesTests
{
    private const string Square = "LWPOLYLINE 8 a 90 4 70 1 10 0 20 0 10 2 20 0 10 2 20 2 10 0 20 2";

    [Fact]
    public void An_upright_rectangle_is_a_rectangle() => Assert.Equal(
        new RectangleShape(0, DoseFactor.One, 0, 0, 20_000, 20_000), Read(Drawing(Square)).Cells[0].Shapes[0]);

    [Fact]
    public void A_closed_polyline_is_a_polygon_on_the_grid()
    {
        LayoutDocument layout = Read(Drawing(Square.Replace("20 2 10 0", "20 2 10 1", StringComparison.Ordinal)));
        Cell top = Assert.Single(layout.Cells);
        Assert.Equal(layout.TopCell, top.Name);
        Assert.Equal(["a"], layout.Layers.ToArray());
        var polygon = Assert.IsType<PolygonShape>(Assert.Single(top.Shapes));
        Assert.Equal([new(0, 0), new(20_000, 0), new(20_000, 20_000), new(10_000, 20_000)], polygon.Contours[0].ToArray());
    }

    [Theory]
    [InlineData("LWPOLYLINE 8 a 10 0 20 0 10 2 20 0 10 2 20 2 10 0 20 2 10 0 20 0")]
    [InlineData("POLYLINE 8 a 66 1 70 1 0 VERTEX 8 a 10 0 20 0 0 VERTEX 10 2 20 0 0 VERTEX 10 2 20 2 0 VERTEX 10 0 20 2 0 SEQEND")]
    [InlineData("LWPOLYLINE 8 a 70 1 210 0 220 0 230 -1 10 0 20 0 10 -2 20 0 10 -2 20 2 10 0 20 2")]
    public void The_same_square_drawn_otherwise_covers_the_same(string square)
    {
        var points = Polygons(Read(Drawing(square)))[0].Points;
        Assert.Equal(4, points.Count);
        Assert.Equal(4.0, Math.Abs(SignedArea(points)), 9);
        Assert.Equal(0, points.Min(p => p.X));
        Assert.Equal(2, points.Max(p => p.X), 9);
    }

    [Fact]
    public void A_circle_stays_a_circle_and_a_point_becomes_a_dot()
    {
        Cell top = Read(Drawing("CIRCLE 8 a 10 3 20 2 40 1.5", "POINT 8 a 10 1 20 -1")).Cells[0];
        Assert.Equal(new(30_000, 20_000), Assert.IsType<CircleShape>(top.Shapes[0]).Centre);
        Assert.Equal(15_000, ((CircleShape)top.Shapes[0]).Radius);
        Assert.Equal(new(10_000, -10_000), Assert.IsType<DotShape>(top.Shapes[1]).Position);
    }

    // Arbitrary axis algorithm of the DXF Reference: with the extrusion (0, 0, −1) x is mirrored, so that a centre of (3, 2)
    // lands at (−3, 2) and an arc from 0° to 90° becomes the upper left quadrant.
    [Fact]
    public void An_extrusion_from_behind_mirrors_x()
    {
        Cell top = Read(Drawing("CIRCLE 8 a 10 3 20 2 40 1 210 0 220 0 230 -1", "ARC 8 b 10 3 20 2 40 1 50 0 51 90 230 -1")).Cells[0];
        Assert.Equal(new(-30_000, 20_000), ((CircleShape)top.Shapes[0]).Centre);
        var arc = Assert.IsType<LineShape>(top.Shapes[1]);
        Assert.Equal(new(-40_000, 20_000), arc.Points[0]);
        Assert.Equal(new(-30_000, 30_000), arc.Points[^1]);
        Assert.All(arc.Points, p => Assert.True(p.X <= -30_000 && p.Y >= 20_000));
    }

    [Fact]
    public void A_tilted_entity_is_lost() => Assert.Contains(
        "a.dxf:40: warning PC0385: not exposed: 1 CIRCLE on layer a (tilted out of the drawing plane); fix it in the drawing, or choose layers without it",
        Messages(Drawing(Square, "CIRCLE 8 a 10 3 20 2 40 1 210 1 220 0 230 0")));

    // Circle geometry: two half-circle bulges make a full circle, quarter-circle bulges a circle too; area π·r² less at most
    // the chord error along the circumference.
    [Theory]
    [InlineData("LWPOLYLINE 8 a 70 1 10 -5 20 0 42 1 10 5 20 0 42 1", 25)]
    [InlineData("LWPOLYLINE 8 a 70 1 10 5 20 0 42 -1 10 -5 20 0 42 -1", 25)]
    [InlineData("LWPOLYLINE 8 a 70 1 10 -5 20 0 42 0.414213562373095 10 0 20 -5 42 0.414213562373095 10 5 20 0 42 1", 25)]
    public void Bulges_make_circles(string entity, double squaredRadius)
    {
        double area = Area(Read(Drawing(entity)), "a");
        Assert.InRange(area, (Math.PI * squaredRadius) - (2 * Math.PI * 5 * 0.0011), (Math.PI * squaredRadius) + 0.001);
    }

    [Fact]
    public void A_constant_width_makes_a_path()
    {
        var path = Assert.IsType<PathShape>(Read(Drawing("LWPOLYLINE 8 a 43 0.5 10 0 20 0 10 4 20 0 10 4 20 3")).Cells[0].Shapes[0]);
        Assert.Equal(5000, path.Width);
        Assert.Equal(PathEnd.Flat, path.End);
        Assert.Equal([new(0, 0), new(40_000, 0), new(40_000, 30_000)], path.Points.ToArray());
    }

    [Fact]
    public void A_closed_track_comes_back_to_its_start()
    {
        var path = Assert.IsType<PathShape>(Read(Drawing("LWPOLYLINE 8 a 70 1 43 0.5 10 0 20 0 10 8 20 0 10 8 20 4 10 0 20 4")).Cells[0].Shapes[0]);
        Assert.Equal([new(0, 0), new(80_000, 0), new(80_000, 40_000), new(0, 40_000), new(0, 0)], path.Points.ToArray());
    }

    // Closed forms: a ring π(R² − r²), and a square of 10 with a square hole of 4.
    [Fact]
    public void Outlines_within_outlines_are_holes_on_request()
    {
        string text = Drawing("CIRCLE 8 a 10 0 20 0 40 5", "CIRCLE 8 a 10 0 20 0 40 3",
            "LWPOLYLINE 8 b 70 1 10 0 20 0 10 10 20 0 10 10 20 10 10 0 20 10", "LINE 8 b 10 3 20 3 11 7 21 3", "LINE 8 b 10 7 20 3 11 7 21 7",
            "LINE 8 b 10 7 20 7 11 3 21 7", "LINE 8 b 10 3 20 7 11 3 21 3");
        Assert.Equal(4, Read(text).Cells[0].Shapes.Length);
        PolygonShape[] holed = [.. Read(text, new DrawingOptions { NestedOutlines = NestedOutlines.Holes }).Cells[0].Shapes.Cast<PolygonShape>()];
        Assert.Equal(2, holed.Length);
        Assert.All(holed, h => Assert.Equal(FillRule.EvenOdd, h.FillRule));
        ContourSet ring = RegionBoolean.Merge(holed[0].Contours, FillRule.EvenOdd);
        Assert.InRange((double)ExactArea.Twice(ring) / 2e8, (Math.PI * 16) - 0.04, (Math.PI * 16) + 0.04);
        Assert.Equal(84, (double)ExactArea.Twice(RegionBoolean.Merge(holed[1].Contours, FillRule.EvenOdd)) / 2e8);
    }

    [Fact]
    public void Layers_come_in_order_of_appearance_and_can_be_selected()
    {
        string text = Drawing("CIRCLE 8 zinc 10 0 20 0 40 1", "CIRCLE 8 Aluminium 10 0 20 0 40 1", "CIRCLE 8 ZINC 10 0 20 0 40 2");
        Assert.Equal(["zinc", "Aluminium"], Read(text).Layers.ToArray());
        LayoutDocument one = Read(text, new DrawingOptions { Layers = ["aluminium"] });
        Assert.Equal(["Aluminium"], one.Layers.ToArray());
        Assert.Single(one.Cells[0].Shapes);
        Assert.Equal(
            "a.dxf: error PC0311: nothing is drawn on layer gold; there is something on: Aluminium, zinc",
            Error(text, new DrawingOptions { Layers = ["Aluminium", "gold"] }));
    }

    [Fact]
    public void Hidden_layers_sheets_and_unknown_entities_are_counted()
    {
        string text = "0 SECTION 2 TABLES 0 TABLE 2 LAYER 0 LAYER 2 dim 70 0 62 -7 0 LAYER 2 old 70 1 62 7 0 ENDTAB 0 ENDSEC ".Replace(' ', '\n')
            + Drawing(
                Square, "LINE 8 dim 10 0 20 0 11 1 21 1", "CIRCLE 8 old 10 0 20 0 40 1", "CIRCLE 8 old 10 0 20 0 40 1",
                "DIMENSION 8 a 2 *D1 1000 X", "CIRCLE 8 a 67 1 10 0 20 0 40 1", "INSERT 8 a 2 B 60 1 10 0 20 0");
        Assert.Equal(
            [
                "note PC0315: ignored 1 LINE on layer dim (layer is off)",
                "note PC0315: ignored 2 CIRCLE on layer old (layer is frozen), first one here",
                "note PC0315: ignored 1 CIRCLE on layer a (on a sheet)",
                "note PC0315: ignored 1 INSERT on layer a (invisible)",
                "warning PC0385: not exposed: 1 DIMENSION on layer a (a type that is not read); fix it in the drawing, or choose layers without it",
                "note PC0323: read with 1 drawing unit = 1 um: the drawing is 2 × 2 um",
            ],
            Messages(text).Select(m => m[(m.IndexOf(": ", StringComparison.Ordinal) + 2)..]));
    }

    [Theory]
    [InlineData(1, 254_000_000)]
    [InlineData(4, 10_000_000)]
    [InlineData(8, 254)]
    [InlineData(9, 254_000)]
    [InlineData(11, 1)]
    [InlineData(12, 10)]
    [InlineData(13, 10_000)]
    public void Drawing_units_by_number(int number, int radius) => Assert.Equal(
        radius,
        ((CircleShape)Read(Drawing("CIRCLE 8 a 10 0 20 0 40 1").Replace("\n13\n", $"\n{number}\n", StringComparison.Ordinal)).Cells[0].Shapes[0]).Radius);

    [Fact]
    public void Without_a_unit_millimetres_are_taken_with_a_warning_that_shows_the_size()
    {
        string text = Drawing("CIRCLE 8 a 10 0 20 0 40 0.5").Replace("\n13\n", "\n0\n", StringComparison.Ordinal);
        Assert.Equal(
            ["a.dxf: warning PC0313: the file names no unit ($INSUNITS); 1 mm is taken, which makes the drawing 1000 × 1000 um; state the drawing unit if that is not the size you drew"],
            Messages(text));
        Assert.Equal(
            ["a.dxf: note PC0323: read with 1 drawing unit = 1 um: the drawing is 1 × 1 um"],
            Messages(text, new DrawingOptions { UnitNanometres = 1000 }));
        Assert.Equal(5, ((CircleShape)Read(text, new DrawingOptions { UnitNanometres = 1 }).Cells[0].Shapes[0]).Radius);
    }

    [Fact]
    public void Line_ends_of_any_kind_and_a_missing_last_one_read_alike()
    {
        string text = Drawing(Square, "CIRCLE 8 a 10 3 20 2 40 1.5");
        string mixed = string.Concat(text.Split('\n').Select((line, i) => line + (i % 3) switch { 0 => "\r\n", 1 => "\n", _ => "\r" })).TrimEnd();
        foreach (string form in new[] { text.Replace("\n", "\r\n", StringComparison.Ordinal), text.Replace('\n', '\r'), text.TrimEnd(), mixed, "\uFEFF" + text })
        {
            LayoutDocument layout = Read(form);
            Assert.Equal(2, layout.Cells[0].Shapes.Length);
            Assert.Equal(4, Area(layout, "a"), 9);
        }
    }
}
