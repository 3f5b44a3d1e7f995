using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Tests.FrontEnds.Svg;

public sealed class SvgReaderTests
{
    [Theory]
    [InlineData("<rect x=\"1\" y=\"2\" width=\"3\" height=\"4\"/>", "rect on drawing from (1, 4) to (4, 8)")]
    [InlineData("<circle cx=\"5\" cy=\"2\" r=\"1.5\"/>", "circle on drawing at (5, 8) radius 1.5")]
    [InlineData("<polygon points=\"1,1 2,1 1.5,2\"/>", "polygon on drawing rule nonzero (1, 9) (2, 9) (1.5, 8)")]
    [InlineData("<polygon fill-rule=\"evenodd\" points=\"1,1 2,1 1.5,2\"/>", "polygon on drawing (1, 9) (2, 9) (1.5, 8)")]
    [InlineData("<line x1=\"1\" y1=\"1\" x2=\"9\" y2=\"1\" stroke=\"black\" stroke-width=\".5\"/>", "path on drawing width 0.5 (1, 9) (9, 9)")]
    [InlineData("<polyline fill=\"none\" stroke=\"red\" stroke-linecap=\"round\" points=\"1 1 2 1 2 2\"/>", "path on drawing width 1 ends round (1, 9) (2, 9) (2, 8)")]
    [InlineData("<rect width=\"10%\" height=\"50%\"/>", "rect on drawing from (0, 5) to (1, 10)")]
    [InlineData("<path d=\"M1 1h2v2z m4 0\" fill=\"none\" stroke=\"red\"/>", "path on drawing width 1 (1, 9) (3, 9) (3, 7) (1, 9)")]
    public void Shapes_keep_their_kind_where_they_can(string content, string expected) => Assert.Equal(expected, SvgText.Shapes(content));

    // Rules of the path grammar, SVG 2, 9.3: each pair draws the same.
    [Theory]
    [InlineData("M 1 1 L 2 1 L 2 2 z", "M1 1 2 1 2 2z")] // pairs after M are L
    [InlineData("M 1 1 L 2 1 L 2 2 z", "m1 1 1 0 0 1z")] // a relative first m is absolute, pairs after it are relative
    [InlineData("M 1.5 0.5 L 1 -2 L 2 2 z", "M1.5.5L1-2 2 2z")] // a point and a sign part numbers
    [InlineData("M 1 1 L 2 1 L 2 2 z", "M1,1\tH2\nV2z")]
    [InlineData("M 1 1 L 2 1 L 2 2 z", "m.1e1,1e0h1v1Z")]
    [InlineData("M 1 1 C 1 2 3 2 3 1 C 3 0 5 0 5 1 z", "M 1 1 C 1 2 3 2 3 1 S 5 0 5 1 z")] // S mirrors the second control point
    [InlineData("M 1 1 C 1 1 3 2 3 1 z", "M 1 1 S 3 2 3 1 z")] // without a curve before it, the current point
    [InlineData("M 1 1 Q 2 2 3 1 Q 4 0 5 1 z", "M 1 1 Q 2 2 3 1 T 5 1 z")]
    [InlineData("M 1 1 Q 2 2 3 1 Q 4 0 5 1 Q 6 2 7 1 z", "M 1 1 q 1 1 2 0 t 2 0 2 0 z")]
    [InlineData("M 1 1 L 3 1 L 3 3 Z M 1 1 L 1 3 L 0 3 Z", "M 1 1 L 3 1 L 3 3 Z L 1 3 L 0 3 Z")] // after Z the subpath's start
    [InlineData("M 2 2 A 1 1 0 0 0 2.5 2.5 L 1 4 z", "M2 2a1 1 0 00.5.5L1 4z")] // flags need nothing between them
    [InlineData("M 2 2 L 4 2 L 3 4 z", "M2 2A0 5 0 1 1 4 2L3 4z")] // a radius of zero is a line
    [InlineData("M 2 2 L 4 2 L 3 4 z", "M2 2A5 5 0 1 1 2 2L4 2 3 4z")] // same ends: left out
    [InlineData("M 2 2 A 2 1 0 0 1 4 2 L 3 4 z", "M2 2A-2 -1 0 0 1 4 2L3 4z")] // negative radii are taken positive
    public void Path_data_is_read_by_the_grammar(string plain, string compact) =>
        Assert.Equal(SvgText.Shapes($"<path d=\"{plain}\"/>"), SvgText.Shapes($"<path d=\"{compact}\"/>"));

    [Fact]
    public void Radii_too_small_are_enlarged()
    {
        // SVG 2, B.2.5: "M0 0 A1 1 0 0 1 4 0" becomes a half circle of radius 2. Area of the half disc: π·2²/2.
        LayoutDocument layout = SvgText.Read(SvgText.Page("<path d=\"M3 5A1 1 0 0 1 7 5\"/>"));
        var polygon = Assert.IsType<PolygonShape>(Assert.Single(layout.Cells[0].Shapes));
        Assert.Equal(2 * Math.PI, Passes.Flatten.FlattenPassTests.Area(polygon.Contours) / -1e8, 1e-3 * 2 * Math.PI);
        Assert.Equal(7, polygon.Contours.Points.ToArray().Max(p => p.Y) / 10_000.0, 1e-3);
    }

    [Theory]
    [InlineData("translate(1 2)", "from (1, 7) to (2, 8)")]
    [InlineData("translate(1)", "from (1, 9) to (2, 10)")]
    [InlineData("scale(2)", "from (0, 8) to (2, 10)")]
    [InlineData("scale(2,3)", "from (0, 7) to (2, 10)")]
    [InlineData("rotate(90)", "from (-1, 9) to (0, 10)")]
    [InlineData("rotate(90 5,5)", "from (9, 9) to (10, 10)")]
    [InlineData("rotate(90deg) translate(1px, 2px)", "from (-3, 8) to (-2, 9)")]
    [InlineData("translate(1 2),scale(2)", "from (1, 6) to (3, 8)")]
    [InlineData("matrix(0 1 -1 0 3 4)", "from (2, 5) to (3, 6)")]
    public void Transforms_apply_from_the_right(string transform, string expected)
    {
        Assert.Equal("rect on drawing " + expected, SvgText.Shapes($"<rect width=\"1\" height=\"1\" transform=\"{transform}\"/>"));
        Assert.Equal("rect on drawing " + expected, SvgText.Shapes($"<g style=\"transform: {transform}\"><rect width=\"1\" height=\"1\"/></g>"));
    }

    [Theory]
    [InlineData("skewX(45)", "(0, 10) (1, 10) (2, 9) (1, 9)")]
    [InlineData("skewY(45)", "(0, 10) (1, 9) (1, 8) (0, 9)")]
    public void Skews_make_parallelograms(string transform, string expected) => Assert.Equal(
        "polygon on drawing rule nonzero " + expected,
        SvgText.Shapes($"<rect width=\"1\" height=\"1\" transform=\"{transform}\"/>"));

    // CSS Values and Units 3: 1 in = 96 px = 72 pt = 6 pc = 2.54 cm, 1 Q = 0.25 mm.
    [Theory]
    [InlineData("1in", 25_400_000)]
    [InlineData("96px", 25_400_000)]
    [InlineData("96", 25_400_000)]
    [InlineData("72pt", 25_400_000)]
    [InlineData("6pc", 25_400_000)]
    [InlineData("2.54cm", 25_400_000)]
    [InlineData("25.4mm", 25_400_000)]
    [InlineData("101.6Q", 25_400_000)]
    public void Physical_units_are_those_of_css(string width, int nanometres)
    {
        LayoutDocument layout = SvgText.Read($"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" viewBox=\"0 0 100 100\"><rect width=\"100\" height=\"50\"/></svg>");
        Assert.Equal(nanometres * 10, Assert.IsType<RectangleShape>(layout.Cells[0].Shapes[0]).XRight);
    }

    [Fact]
    public void The_unit_can_be_stated()
    {
        var options = new DrawingOptions { UnitNanometres = 1000 };
        const string Text = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100\" height=\"100\" viewBox=\"0 0 10 10\"><rect width=\"1\" height=\"2\"/></svg>";
        Assert.Equal("rect on drawing from (0, 8) to (1, 10)", SvgText.Shapes(Text, options));
        Assert.Equal(["a.svg: note PC0412: the drawing is 10 x 10 um"], SvgText.Messages(Text, options));
        Assert.Equal(
            ["a.svg: warning PC0412: the file states no physical size; 96 units are taken as one inch, which makes the drawing 26458.333333 x 26458.333333 um; state the drawing unit if that is not the size you drew"],
            SvgText.Messages(Text));
    }

    [Theory]
    [InlineData("", "from (5, 0) to (15, 10)")] // xMidYMid meet
    [InlineData("xMinYMin", "from (0, 0) to (10, 10)")]
    [InlineData("xMaxYMax meet", "from (10, 0) to (20, 10)")]
    [InlineData("none", "from (0, 0) to (20, 10)")]
    [InlineData("xMidYMid slice", "from (0, -5) to (20, 15)")]
    public void The_view_box_is_fitted_by_the_aspect_ratio(string aspect, string expected)
    {
        string attribute = aspect.Length == 0 ? "" : $"preserveAspectRatio=\"{aspect}\"";
        Assert.Equal(
            "rect on drawing " + expected,
            SvgText.Shapes($"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"0.02mm\" height=\"0.01mm\" viewBox=\"0 0 1 1\" {attribute}><rect width=\"1\" height=\"1\"/></svg>"));
    }

    // The page keeps the place that its view box states; y is turned about the middle of the box.
    [Theory]
    [InlineData("0 0 10 10", "from (1, 7) to (3, 8)")]
    [InlineData("-5 -5 10 10", "from (1, -3) to (3, -2)")]
    [InlineData("100 200 10 10", "from (1, 407) to (3, 408)")]
    [InlineData("-5 -5 20 20", "from (0.5, 3.5) to (1.5, 4)")]
    public void The_view_box_states_the_place(string box, string expected) => Assert.Equal(
        "rect on drawing " + expected,
        SvgText.Shapes($"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"0.01mm\" height=\"0.01mm\" viewBox=\"{box}\"><rect x=\"1\" y=\"2\" width=\"2\" height=\"1\"/></svg>"));

    [Fact]
    public void Strokes_that_do_not_scale_are_lines_and_dots()
    {
        const string Content = """
            <g stroke="red" fill="none" vector-effect="non-scaling-stroke"><path d="M1 1h2v1zM5 5h0" style="vector-effect: non-scaling-stroke"/><path d="M1 2h2"/></g>
            """;
        Assert.Equal(
            """
            line on drawing (1, 9) (3, 9) (3, 8) (1, 9)
            dot on drawing at (5, 5)
            path on drawing width 1 (1, 8) (3, 8)
            """,
            SvgText.Shapes(Content));
        Assert.Contains(
            "a.svg:2:65 (path): note PC0413: read 2 strokes that do not scale (vector-effect) as lines and dots without width, the first here",
            SvgText.Messages(SvgText.Page(Content)));
    }

    [Fact]
    public void Layers_are_the_outermost_named_groups() => Assert.Equal(
        """
        rect on pads from (0, 9) to (1, 10)
        rect on "fine lines" from (1, 9) to (2, 10)
        rect on drawing from (2, 9) to (3, 10)
        """,
        SvgText.Shapes(
            """
            <g id="pads"><g id="inner"><rect width="1" height="1"/></g></g>
            <g><g id="g7" x:label="fine lines" xmlns:x="urn:x"><rect x="1" width="1" height="1"/></g></g>
            <g><rect x="2" width="1" height="1"/></g>
            """));

    [Fact]
    public void Layers_can_be_colours() => Assert.Equal(
        """
        rect on "#ff0000" from (0, 9) to (1, 10)
        rect on "#ff0000" from (1, 9) to (2, 10)
        rect on "#ff0000" from (2, 9) to (3, 10)
        rect on "#ff0000" from (3, 9) to (4, 10)
        rect on "#808080" from (4, 9) to (5, 10)
        rect on "#000000" from (5, 9) to (6, 10)
        path on "#123456" width 1 (5, 10) (6, 10) (6, 9) (5, 9) (5, 10)
        """,
        SvgText.Shapes(
            """
            <style>.red { fill: RED } #blue-not { fill: blue }</style>
            <rect width="1" height="1" class="red x"/>
            <rect x="1" width="1" height="1" fill="#f00"/>
            <rect x="2" width="1" height="1" style="fill:rgb(255, 0%, 0)"/>
            <rect x="3" width="1" height="1" fill="blue" style="fill:#FF0000"/>
            <rect x="4" width="1" height="1" fill="grey"/>
            <rect x="5" width="1" height="1" fill="currentColor" stroke="#123456"/>
            """,
            new DrawingOptions { SvgLayerNaming = SvgLayerNaming.ByColour }));

    [Fact]
    public void Copies_inherit_where_they_stand() => Assert.Equal(
        """
        rect on a from (1, 9) to (2, 10)
        rect on b from (5, 7) to (7, 9)
        """,
        SvgText.Shapes(
            """
            <defs><rect id="r" width="1" height="1"/><symbol id="s" viewBox="0 0 2 2"><use href="#r" x="1" y="1"/></symbol></defs>
            <g id="a"><use href="#r" x="1"/></g>
            <g id="b"><use xlink:href="#s" xmlns:xlink="http://www.w3.org/1999/xlink" x="3" y="-1" width="4" height="4"/></g>
            """));

    [Fact]
    public void What_is_not_read_is_counted() => Assert.Equal(
        [
            "a.svg: note PC0412: the drawing is 10 x 10 um",
            "a.svg:2:16 (text): note PC0410: ignored 1 hidden text on layer drawing",
            "a.svg:4:2 (g): note PC0410: ignored 1 hidden g on layer drawing",
            "a.svg:5:2 (path): note PC0410: ignored 1 path with neither fill nor stroke on layer drawing",
            "a.svg:6:2 (rect): note PC0410: ignored 1 rect without area on layer drawing",
            "a.svg:7:2 (rect): note PC0410: ignored 1 transparent fill of rect on layer drawing",
            "a.svg:8:2 (g): note PC0410: ignored 1 transparent g on layer drawing",
            "a.svg:9:2 (rect): note PC0482: 2 shapes transparent in part, exposed like the rest, the first here",
            "a.svg:2:2 (text): warning PC0481: lost 1 text on layer drawing; turn it into paths in the drawing program",
            "a.svg:3:2 (image \"p\"): warning PC0481: lost 1 image on layer drawing; turn it into paths in the drawing program",
        ],
        SvgText.Messages(SvgText.Page(
            """
            <text>A</text><text visibility="hidden"><tspan>B</tspan></text>
            <image id="p" href="http://example.org/p.png"/>
            <g display="none"><rect width="1" height="1"/></g>
            <path d="M0 0h1v1z" style="fill: none"/>
            <rect width="1" height="0.00001"/>
            <rect width="1" height="1" fill="#0000"/>
            <g opacity="0"><rect width="1" height="1"/></g>
            <rect width="1" height="1" fill="#0008"/><g opacity=".5"><rect width="1" height="1"/></g>
            """)));

    [Fact]
    public void What_reaches_beyond_the_page_is_said_once() => Assert.Contains(
        "a.svg: note PC0482: the drawing reaches beyond its page; viewers cut it there, but all of it is exposed",
        SvgText.Messages(SvgText.Page("<rect x=\"9\" width=\"2\" height=\"1\"/><rect x=\"19\" width=\"2\" height=\"1\"/>")));

    [Fact]
    public void Utf16_and_namespace_prefixes_are_read()
    {
        const string Text = "<?xml version=\"1.0\" encoding=\"UTF-16\"?><s:svg xmlns:s=\"http://www.w3.org/2000/svg\" width=\"1mm\"><s:rect width=\"1\" height=\"1\"/></s:svg>";
        byte[] bytes = [.. Encoding.Unicode.GetPreamble(), .. Encoding.Unicode.GetBytes(Text)];
        LayoutDocument layout = PatternCompiler.FrontEnds.DrawingReader.Read(
            new MemoryStream(bytes), "a.txt", DrawingOptions.Default, new DiagnosticSink());
        Assert.Single(layout.Cells[0].Shapes);
    }
}
