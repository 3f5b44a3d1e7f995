using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.FrontEnds.Layout;

public sealed class LayoutReaderTests
{
    private const string Head = "layout 1\nunit um\nlayer pads\n";

    private static Shape Only(string line) => Assert.Single(LayoutText.Read(Head + line).Cells[^1].Shapes);

    [Theory]
    [InlineData("rect on pads from (0, 0) to (10, 5)", 0, 0, 100000, 50000)]
    [InlineData("rect on pads from (10, 5) to (0, 0)", 0, 0, 100000, 50000)]
    [InlineData("rect on pads to (10, 5) from (0, 0)", 0, 0, 100000, 50000)]
    [InlineData("rect on pads at (-1, 2) size (3, 4)", -10000, 20000, 20000, 60000)]
    [InlineData("rect on pads centre (0, 0) size (3, 4)", -15000, -20000, 15000, 20000)]
    [InlineData("rect on pads centre (0, 0) size (0.3 nm, 0.1 nm)", -1, 0, 2, 1)]
    [InlineData("rect on pads from (0nm,0) to (10um,5000 nm) # comment", 0, 0, 100000, 50000)]
    public void Rectangles_are_read_in_every_form(string line, int left, int bottom, int right, int top) =>
        Assert.Equal(new RectangleShape(0, DoseFactor.One, left, bottom, right, top), Only(line));

    [Fact]
    public void Every_other_shape_is_read()
    {
        Assert.Equal(new CircleShape(0, new(1_250_000), new(10000, 20000), 5000), Only("circle on pads at (1, 2) radius 0.5 dose 1.25"));
        Assert.Equal(new CircleShape(0, DoseFactor.One, new(10000, 20000), 5000), Only("circle on pads at (1, 2) diameter 1"));
        Assert.Equal(new RingShape(0, DoseFactor.One, default, 10000, 15000), Only("ring on pads at (0, 0) inner 1 outer 1.5"));
        Assert.Equal(new DotShape(0, DoseFactor.One, new(-10000, 0)), Only("dot on pads at (-1, 0)"));
        var path = (PathShape)Only("path on pads width 0.5 ends round (0, 0) (1, 0)\n  (1, 1)");
        Assert.Equal((5000, PathEnd.Round), (path.Width, path.End));
        Assert.Equal([new(0, 0), new(10000, 0), new(10000, 10000)], path.Points.ToArray());
        Assert.Equal([new(0, 0), new(10000, 0)], ((LineShape)Only("line on pads (0, 0) (1, 0)")).Points.ToArray());
    }

    [Fact]
    public void Polygons_have_holes_and_go_on_over_lines()
    {
        var polygon = (PolygonShape)Only(
            """
            polygon on pads
              (0, 0) (10, 0) # first edge
              (10, 10)

              (0, 10)
              hole (1, 1) (2, 1)
                   (2, 2)
              part (20, 0) (30, 0) (30, 1)
            """);
        Assert.Equal(FillRule.EvenOdd, polygon.FillRule);
        Assert.Equal([4, 3, 3], Enumerable.Range(0, polygon.Contours.Count).Select(i => polygon.Contours[i].Length));
        Assert.Equal(new(20000, 20000), polygon.Contours[1][2]);
    }

    [Fact]
    public void Cells_are_placed_before_or_after_their_definition()
    {
        LayoutDocument layout = LayoutText.Read(Head +
            """
            place outer at (1, 2) rotate 90 mirror left-right scale 2 dose 0.5
            cell outer
              array inner at (0, 0) columns 3 column-step 2 column-dose 0.1 rows 2 row-step (1, 4) row-dose -0.05
            end
            cell inner
              dot on pads at (0, 0)
            end
            """);
        Assert.Equal(["inner", "outer", "drawing"], layout.Cells.Select(cell => cell.Name));
        Assert.Equal(
            new Instance("outer", new(10000, 20000), new(90, -2, 2), Repetition.Once, new(500_000)),
            Assert.Single(layout.Cells[2].Instances));
        Assert.Equal(
            new Repetition(3, 2, new(20000, 0), new(10000, 40000), 100_000, -50_000),
            Assert.Single(layout.Cells[1].Instances).Repetition);
    }

    [Theory]
    [InlineData("2 * 3 + 4", 100_000)]
    [InlineData("2 + 3 * 4", 140_000)]
    [InlineData("(2 + 3) * 4", 200_000)]
    [InlineData("2 - 3 - 4", -50_000)]
    [InlineData("-(1 + 2)", -30_000)]
    [InlineData("12 / 4 / 3", 10_000)]
    [InlineData("1 um + 500 nm", 15_000)]
    [InlineData("1 mm / 1000 + 2", 30_000)]
    [InlineData("1e3 nm", 10_000)]
    [InlineData("1.5E-1", 1_500)]
    [InlineData("sqrt(3 um * 3 um + 4 um * 4 um)", 50_000)]
    [InlineData("sqrt(2)", 14_142)]
    [InlineData("sin(30)", 5_000)]
    [InlineData("10 * cos(60 deg)", 50_000)]
    [InlineData("tan(45)", 10_000)]
    [InlineData("atan2(1, 1)", 450_000)]
    [InlineData("sin(pi / 6 * 180 / pi)", 5_000)]
    [InlineData("min(1, 2 um) + max(3, 4)", 50_000)]
    [InlineData("mod(7, 3)", 10_000)]
    [InlineData("mod(-1, 3)", 20_000)]
    [InlineData("floor(2.7) + ceil(2.2) + round(2.5) + abs(-1)", 90_000)]
    [InlineData("1 in", 254_000_000)]
    [InlineData("1 mil", 254_000)]
    [InlineData("1 \u00B5m", 10_000)]
    [InlineData("1 \u03BCm", 10_000)]
    public void Formulas_are_worked_out_exactly(string formula, int expected)
    {
        var dot = (DotShape)Only($"dot on pads at ({formula}, 0)");
        Assert.Equal(expected, dot.Position.X);
    }

    [Theory]
    [InlineData("0.00005", 1)]
    [InlineData("-0.00005", -1)]
    [InlineData("0.00004999999999", 0)]
    [InlineData("0.00015", 2)]
    [InlineData("0.1 + 0.2", 3000)]
    [InlineData("107374.1823", GridPoint.Limit)]
    [InlineData("107374.18234", GridPoint.Limit)]
    [InlineData("0.0000000000000000000000001", 0)]
    public void Lengths_off_the_grid_round_to_the_nearest_step_halves_away_from_zero(string length, int expected) =>
        Assert.Equal(expected, ((DotShape)Only($"dot on pads at (0, {length})")).Position.Y);

    [Fact]
    public void Coordinates_do_not_drift_along_a_long_row()
    {
        // A third of a micrometre added a thousand times must land where the exact product lands.
        LayoutDocument layout = LayoutText.Read(Head + "let pitch = 1 um / 3\nrepeat 1000 as i\n dot on pads at (i * pitch, 0)\nend\n");
        Assert.Equal(
            Enumerable.Range(0, 1000).Select(i => (int)Math.Round(i * 10000m / 3, MidpointRounding.AwayFromZero)),
            layout.Cells[^1].Shapes.Select(shape => ((DotShape)shape).Position.X));
    }

    [Fact]
    public void Rounding_is_noted_once()
    {
        var sink = new DiagnosticSink();
        LayoutText.Read(Head + "dot on pads at (0, 0.00001)\ndot on pads at (0.33333, 1)\n", sink: sink);
        Assert.Equal(
            "chip.layout:4:20: note PC0221: 2 lengths were rounded to the grid of 0.1 nm, the first here",
            Assert.Single(sink.Collected).ToString());
    }

    [Fact]
    public void Repeats_nest_and_parameters_live_in_their_block()
    {
        LayoutDocument layout = LayoutText.Read(Head +
            """
            let n = 2
            repeat n as row
              let y = row * 3
              repeat n as column
                let x = column
                dot on pads at (x, y) dose 1 + row * 0.1
              end
            end
            let y = 7
            dot on pads at (0, y)
            """);
        Assert.Equal(
            [(0, 0, 1_000_000), (1, 0, 1_000_000), (0, 3, 1_100_000), (1, 3, 1_100_000), (0, 7, 1_000_000)],
            layout.Cells[^1].Shapes.Cast<DotShape>().Select(dot => (dot.Position.X / 10000, dot.Position.Y / 10000, dot.DoseFactor.Millionths)));
    }

    // Run one by one, these would take hours.
    [Fact]
    public void Empty_repeats_take_no_time() => Assert.IsType<DotShape>(
        Only("repeat 1000\nrepeat 2147483647 as i\n# nothing\nend\nend\ndot on pads at (0, 1)"));

    [Fact]
    public void Parameters_can_be_given_from_outside()
    {
        var options = new DrawingOptions { Parameters = ImmutableSortedDictionary<string, string>.Empty.Add("pitch", "3 um") };
        LayoutDocument layout = LayoutText.Read(Head + "let pitch = 2 um\ndot on pads at (pitch, 0)\n", options);
        Assert.Equal(30000, Assert.IsType<DotShape>(layout.Cells[^1].Shapes[0]).Position.X);
    }

    [Fact]
    public void Files_are_included_with_a_unit_of_their_own()
    {
        var options = new DrawingOptions
        {
            OpenInclude = (name, from) => name == "cross.layout" && from == "chip.layout"
                ? new(new MemoryStream("layout 1\nunit nm\nlayer marks\nlet arm = 500\ncell cross\n dot on marks at (arm, 0)\nend\n"u8.ToArray()), name)
                : null,
        };
        LayoutDocument layout = LayoutText.Read(
            "layout 1\nunit um\ngrid 1 nm\ninclude \"cross.layout\"\nlayer pads\nplace cross at (1, 0)\ndot on pads at (arm * 0 + 2, 0)\n", options);
        Assert.Equal(["marks", "pads"], layout.Layers.ToArray());
        Assert.Equal(1000, layout.GridPicometres);
        Assert.Equal(500, Assert.IsType<DotShape>(layout.Cells[0].Shapes[0]).Position.X);
        Assert.Equal(1000, layout.Cells[1].Instances[0].Origin.X);
    }

    [Fact]
    public void Text_becomes_paths_or_lines()
    {
        LayoutDocument wide = LayoutText.Read(Head + "text \"L\" on pads at (1, 2) height 12 width 1 dose 2");
        var path = Assert.IsType<PathShape>(Assert.Single(wide.Cells[^1].Shapes));
        Assert.Equal([new(10000, 140000), new(10000, 20000), new(80000, 20000)], path.Points.ToArray());
        Assert.Equal((10000, new DoseFactor(2_000_000)), (path.Width, path.DoseFactor));
        LayoutDocument thin = LayoutText.Read(Head + "text \"L\" on pads at (1, 2) height 12 align right");
        var line = Assert.IsType<LineShape>(Assert.Single(thin.Cells[^1].Shapes));
        Assert.Equal([new(-60000, 140000), new(-60000, 20000), new(10000, 20000)], line.Points.ToArray());
    }

    [Fact]
    public void Line_ends_and_a_byte_order_mark_do_not_matter()
    {
        string unix = Head + "rect on pads from (0, 0) to (1, 1)\n";
        string expected = LayoutText.Print(LayoutText.Read(unix));
        Assert.Equal(expected, LayoutText.Print(LayoutText.Read(unix.Replace("\n", "\r\n", StringComparison.Ordinal))));
        Assert.Equal(expected, LayoutText.Print(LayoutText.Read("\uFEFF" + unix)));
        Assert.Equal(expected, LayoutText.Print(LayoutText.Read(unix.TrimEnd())));
    }

    [Fact]
    public void Names_with_blanks_and_quotes_are_quoted()
    {
        LayoutDocument layout = LayoutText.Read("layout 1\nunit um\ndrawing \"my chip\"\nlayer \"a \\\"b\\\" \\\\ \u00E9\"\nlayer Gr\u00F6\u00DFe\ndot on Gr\u00F6\u00DFe at (0, 0)");
        Assert.Equal(["a \"b\" \\ \u00E9", "Gr\u00F6\u00DFe"], layout.Layers.ToArray());
        Assert.Equal("my chip", layout.TopCell);
        Assert.Equal(
            "layout 1\nunit um\ngrid 0.1 nm\ndrawing \"my chip\"\nlayer \"a \\\"b\\\" \\\\ \u00E9\"\nlayer Gr\u00F6\u00DFe\n\ndot on Gr\u00F6\u00DFe at (0, 0)\n",
            LayoutText.Print(layout));
    }

    [Fact]
    public void The_culture_of_the_machine_does_not_matter()
    {
        CultureInfo before = CultureInfo.CurrentCulture;
        const string Text = Head + "rect on pads from (0.5, 0) to (1234.5, 1) dose 1.5\nlet a = 1.5\ndot on pads at (a, 1e-1)\n";
        string expected = LayoutText.Print(LayoutText.Read(Text));
        try
        {
            CultureInfo.CurrentCulture = GermanNumbers.Culture;
            Assert.Equal(expected, LayoutText.Print(LayoutText.Read(Text)));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Fact]
    public void Input_may_come_in_pieces_of_any_size()
    {
        byte[] text = Encoding.UTF8.GetBytes(Head + "polygon on pads (0, 0) (1, 0)\n (1, 1)\nrect on pads from (0, 0) to (1, 1)\n");
        string expected = LayoutText.Print(LayoutText.ReadBytes(text));
        for (int size = 1; size < 20; size++)
        {
            var stream = new TricklingStream(text, size);
            Assert.Equal(expected, LayoutText.Print(LayoutReader.Read(stream, "-", DrawingOptions.Default, new DiagnosticSink())));
        }
    }
}
