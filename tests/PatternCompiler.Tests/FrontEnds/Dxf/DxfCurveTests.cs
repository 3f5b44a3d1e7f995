using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Dxf;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using static PatternCompiler.Tests.FrontEnds.Dxf.DxfTest;

namespace PatternCompiler.Tests.FrontEnds.Dxf;

/// <summary>
/// Curves and areas of a drawing that an independent library wrote, in text and in binary form, against closed forms.
/// Bounds: a flattened curve lies within 1 nm inside, corners are rounded to 0.1 nm.
/// </summary>
public sealed class DxfCurveTests
{
    private const double PerLength = 0.0011;

    public static TheoryData<string> Files => ["ezdxf-curves.dxf", "ezdxf-curves-binary.dxf"];

    [Theory]
    [MemberData(nameof(Files))]
    public void Areas_agree_with_closed_forms(string file)
    {
        LayoutDocument layout = ReadCorpus(file);
        AssertArea(Math.PI * 18, 29.1, "ellipse");
        AssertArea(Math.PI * 9, 26.6, "half");
        // NURBS circle with exact weights: π·r².
        AssertArea(Math.PI * 25, 31.5, "nurbs");
        // Three of 3 × 2 and a triangle of half that.
        AssertArea(21, 0.01, "solid");
        AssertArea(20, 0.01, "taper");

        void AssertArea(double exact, double length, string layer) => Assert.InRange(
            Area(layout, layer), exact - (length * PerLength) - 0.0005, exact + 0.002);
    }

    [Theory]
    [MemberData(nameof(Files))]
    public void Hatches_keep_their_islands(string file)
    {
        LayoutDocument layout = ReadCorpus(file);
        PolygonShape hatch = Only<PolygonShape>(layout, "hatch");
        Assert.Equal(FillRule.EvenOdd, hatch.FillRule);
        Assert.Equal(3, hatch.Contours.Count);
        // Even-odd of nested loops: outer − island + square within.
        Assert.Equal(400 - (16 * Math.PI) + 4, RingArea(hatch, 0) - RingArea(hatch, 1) + RingArea(hatch, 2), 0.03);

        PolygonShape edges = Only<PolygonShape>(layout, "edges");
        Assert.Equal(3, edges.Contours.Count);
        Assert.InRange(RingArea(edges, 0), (Math.PI * 4.5) - 0.02, Math.PI * 4.5);
        Assert.InRange(RingArea(edges, 1), (Math.PI * 9) - 0.03, Math.PI * 9);
        // Parabola under the control polygon of base 4 and height 3: two thirds of base times apex, the apex at half the height.
        Assert.InRange(RingArea(edges, 2), 4 - 0.01, 4);
        // A clockwise half circle about (93, 0) from the angle 0 to 180 measured clockwise lies below the line; either way round
        // the loop closes.
        Assert.InRange(RingArea(Only<PolygonShape>(layout, "bulged"), 0), (4 * Math.PI) - 0.02, 4 * Math.PI);
    }

    [Theory]
    [MemberData(nameof(Files))]
    public void Splines_pass_through_their_fit_points(string file)
    {
        LayoutDocument layout = ReadCorpus(file);
        // Points of a straight line give the straight line.
        GridPoint[] line = Only<LineShape>(layout, "fit-line").Points.ToArray();
        Assert.Equal(new(0, 300_000), line[0]);
        Assert.Equal(new(90_000, 390_000), line[^1]);
        Assert.All(line, p => Assert.InRange(p.Y - p.X, 299_999, 300_001));

        // 33 points of a half circle give it back to a few nanometres away from its natural ends.
        GridPoint[] arc = Only<LineShape>(layout, "fit-arc").Points.ToArray();
        Assert.All(arc, p => Assert.InRange(Math.Sqrt(Math.Pow(p.X - 400_000.0, 2) + Math.Pow(p.Y - 400_000.0, 2)), 99_900, 100_100));
        for (int i = 0; i <= 32; i++)
        {
            double x = 400_000 + (100_000 * Math.Cos(i * Math.PI / 32));
            double y = 400_000 + (100_000 * Math.Sin(i * Math.PI / 32));
            Assert.Contains(arc, p => Math.Abs(p.X - x) < 0.6 && Math.Abs(p.Y - y) < 0.6);
        }
    }

    [Theory]
    [MemberData(nameof(Files))]
    public void Points_and_tracks(string file)
    {
        LayoutDocument layout = ReadCorpus(file);
        Assert.Equal(new(500_000, 600_000), Only<DotShape>(layout, "dots").Position);
        ContourSet ring = Only<PolygonShape>(layout, "ring").Contours;
        Assert.All(Assert.Single(Enumerable.Range(0, ring.Count).Select(i => ring[i].ToArray())), p => Assert.True(
            Math.Abs(Radius(p) - 110_000) < 1 || Math.Abs(Radius(p) - 90_000) < 1));
        Assert.Equal(4, ring[0].ToArray().Intersect([new(510_000, 800_000), new(490_000, 800_000), new(400_000, 890_000), new(400_000, 910_000)]).Count());

        static double Radius(GridPoint p) => Math.Sqrt(Math.Pow(p.X - 400_000.0, 2) + Math.Pow(p.Y - 800_000.0, 2));
    }

    [Fact]
    public void Text_is_drawn_on_request()
    {
        var sink = new DiagnosticSink();
        LayoutDocument without = ReadCorpus("ezdxf-curves.dxf", null, sink);
        Assert.DoesNotContain("text", without.Layers);
        Assert.Contains(sink.Collected, d => d.Message == "not exposed: 1 TEXT on layer text (text is not read as strokes)");
        var onPurpose = new DiagnosticSink();
        ReadCorpus("ezdxf-curves.dxf", new DrawingOptions { TextAsStrokes = false }, onPurpose);
        Assert.Contains(onPurpose.Collected, d => d.Message == "ignored 1 TEXT on layer text");
        LayoutDocument with = ReadCorpus("ezdxf-curves.dxf", new DrawingOptions { TextAsStrokes = true });
        LineShape[] strokes = [.. with.Cells[^1].Shapes.OfType<LineShape>().Where(l => with.Layers[l.Layer] == "text")];
        GridPoint[] single = [.. strokes.SelectMany(s => s.Points).Where(p => p.X < 500_000)];
        Assert.Equal((1_000_000, 1_050_000), (single.Min(p => p.Y), single.Max(p => p.Y)));
        // Two lines hang from their upper left corner: capitals 5 µm, one line spacing of 20/12 of that.
        GridPoint[] two = [.. strokes.SelectMany(s => s.Points).Where(p => p.X > 500_000)];
        Assert.InRange(two.Min(p => p.X), 600_000, 604_200);
        Assert.InRange(two.Max(p => p.Y), 999_000, 1_000_000);
        Assert.InRange(two.Min(p => p.Y), 1_000_000 - 50_000 - 83_334 - 16_700, 1_000_000 - 50_000 - 83_332);
    }

    [Theory]
    [InlineData("ezdxf-names-R2000.dxf")]
    [InlineData("ezdxf-names-R2010.dxf")]
    public void Names_outside_ascii_are_read_in_code_page_and_utf8(string file) =>
        Assert.Equal(["Elektrode_µm_größer"], ReadCorpus(file).Layers.ToArray());

    [Fact]
    public void The_old_binary_form_reads_like_the_text()
    {
        LayoutDocument binary = ReadCorpus("ezdxf-sensor-R12-binary.dxf", new DrawingOptions { UnitNanometres = 1000 });
        LayoutDocument text = ReadCorpus("ezdxf-sensor-R12.dxf", new DrawingOptions { UnitNanometres = 1000 });
        Assert.Equal(text.Layers.ToArray(), binary.Layers.ToArray());
        Assert.Equal(Area(text, "metal"), Area(binary, "metal"), 3);
        Assert.Equal(Area(text, "marks"), Area(binary, "marks"), 3);
    }

    [Theory]
    [InlineData("ezdxf-curves-binary.dxf")]
    [InlineData("ezdxf-sensor-R12-binary.dxf")]
    public void A_binary_drawing_cut_anywhere_gives_one_error(string file)
    {
        byte[] whole = File.ReadAllBytes(CorpusPath(file));
        for (int length = 22; length < whole.Length - 20; length += 13)
        {
            Assert.Throws<CompileException>(() => DxfReader.Read(new MemoryStream(whole, 0, length), "b.dxf", DrawingOptions.Default, new(), default));
        }
    }

    [Fact]
    public void A_binary_drawing_with_any_byte_changed_gives_one_error_or_a_drawing()
    {
        byte[] whole = File.ReadAllBytes(CorpusPath("ezdxf-curves-binary.dxf"));
        var random = new Random(11);
        for (int i = 0; i < 300; i++)
        {
            byte[] changed = (byte[])whole.Clone();
            for (int k = 0; k < 1 + (i % 4); k++)
            {
                changed[random.Next(whole.Length - 7000, whole.Length)] = (byte)random.Next(256);
            }

            try
            {
                DxfReader.Read(new MemoryStream(changed), "b.dxf", DrawingOptions.Default, new(), default);
            }
            catch (CompileException)
            {
                // One clear error is what the user shall get; anything else fails the test.
            }
        }
    }

    [Theory]
    [InlineData("SPLINE 8 a 71 3 40 0 10 0 20 0", "a.dxf:16 (SPLINE on layer a): error PC0305: degree 3 needs 4 control points or more, there are 1")]
    [InlineData("SPLINE 8 a 71 1 40 0 40 0 40 1 10 0 20 0 10 1 20 1", "a.dxf:16 (SPLINE on layer a): error PC0305: 2 control points of degree 1 need 4 knots, there are 3")]
    [InlineData("SPLINE 8 a 71 1 40 0 40 0 40 1 40 1 41 1 41 0 10 0 20 0 10 1 20 1", "a.dxf:16 (SPLINE on layer a): error PC0305: a weight is not above zero")]
    [InlineData("SPLINE 8 a 71 99 40 0 10 0 20 0", "a.dxf:16 (SPLINE on layer a): error PC0305: the degree is 99, it must be between 1 and 25")]
    [InlineData("ELLIPSE 8 a 10 0 20 0 11 0 21 0 40 1", "a.dxf:16 (ELLIPSE on layer a): error PC0305: an ellipse needs a centre, a major axis and a ratio above zero (group codes 10, 20, 11, 21, 40)")]
    [InlineData("HATCH 8 a 91 1 92 1 93 1 72 9 97 0 75 0", "a.dxf:16 (HATCH on layer a): error PC0305: edge 1 of loop 1: kind 9 is unknown")]
    [InlineData("SOLID 8 a 10 0 20 0", "a.dxf:16 (SOLID on layer a): error PC0305: three corners at least are needed (group codes 10 to 12 and 20 to 22)")]
    [InlineData("SPLINE 8 a 71 1 40 0 40 0 40 1 40 1 10 0 20 0 10 1e200 20 1", "a.dxf:16 (SPLINE on layer a): error PC0306: reaches beyond ±107.4 mm, read with 1 drawing unit = 1 um; check the drawing unit, and draw near the origin")]
    public void Curves_that_cannot_be(string entity, string message) => Assert.Equal(message, Error(Drawing(entity)));

    // Mirrored by the extrusion (0, 0, −1), an ellipse from 0 to π/2 about it runs through the quadrant below its major axis.
    [Fact]
    public void An_ellipse_seen_from_behind_turns_the_other_way()
    {
        LineShape arc = Only<LineShape>(Read(Drawing("ELLIPSE 8 a 10 0 20 0 11 2 21 0 40 0.5 41 0 42 1.5707963267948966 210 0 220 0 230 -1")), "a");
        Assert.Equal(new(20_000, 0), arc.Points[0]);
        Assert.Equal(new(0, -10_000), arc.Points[^1]);
    }

    // Mitred corner of a track of width 2 whose last leg narrows: the square on the outside of the right angle is filled.
    [Fact]
    public void A_narrowing_track_turns_its_corner_with_a_mitre()
    {
        LayoutDocument layout = Read(Drawing("LWPOLYLINE 8 a 10 0 20 0 40 2 41 2 10 10 20 0 40 2 41 1 10 10 20 8 40 1 41 1"));
        Assert.Equal(3, layout.Cells[0].Shapes.Length);
        Assert.Contains(Polygons(layout).SelectMany(p => p.Points), p => Math.Abs(p.X - 11) < 1e-9 && Math.Abs(p.Y + 1) < 1e-9);
    }

    private static T Only<T>(LayoutDocument layout, string layer)
        where T : Shape => layout.Cells[^1].Shapes.OfType<T>().Single(s => layout.Layers[s.Layer] == layer);

    private static double RingArea(PolygonShape polygon, int ring)
    {
        double twice = 0;
        ReadOnlySpan<GridPoint> points = polygon.Contours[ring];
        for (int i = 0; i < points.Length; i++)
        {
            GridPoint a = points[i];
            GridPoint b = points[(i + 1) % points.Length];
            twice += ((double)a.X * b.Y) - ((double)b.X * a.Y);
        }

        return Math.Abs(twice) / 2e8;
    }
}
