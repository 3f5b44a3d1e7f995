using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;
using static PatternCompiler.Tests.FrontEnds.Dxf.DxfTest;

namespace PatternCompiler.Tests.FrontEnds.Dxf;

public sealed class DxfChainTests
{
    [Fact]
    public void Loose_lines_in_any_order_and_direction_make_an_outline()
    {
        LayoutDocument layout = Read(Drawing(Line(0, 0, 3, 0), Line(0, 2, 0, 0), Line(0, 2, 3, 2), Line(3, 0, 3, 2)));
        Assert.Equal(new RectangleShape(0, DoseFactor.One, 0, 0, 30_000, 20_000), Assert.Single(layout.Cells[0].Shapes));
    }

    [Fact]
    public void Arcs_and_lines_make_a_stadium()
    {
        LayoutDocument layout = Read(Drawing(
            Line(0, 0, 6, 0), "ARC 8 a 10 0 20 2 40 2 50 90 51 270", Line(6, 4, 0, 4), "ARC 8 a 10 6 20 2 40 2 50 270 51 450"));
        Assert.Single(layout.Cells[0].Shapes);
        double exact = 24 + (Math.PI * 4);
        Assert.InRange(Area(layout, "a"), exact - (2 * Math.PI * 2 * 0.0011), exact + 0.001);
    }

    [Fact]
    public void A_gap_within_the_limit_is_closed_to_the_corner_that_was_meant()
    {
        string text = Drawing(Line(0, 0, 3, 0), Line(3.001, 0.0005, 3.001, 2), Line(3, 2, 0, 2), Line(0, 2, 0, 0));
        Assert.Equal(new RectangleShape(0, DoseFactor.One, 0, 0, 30_010, 20_000), Assert.Single(Read(text).Cells[0].Shapes));
        Assert.Contains(
            "a.dxf:28 (LINE on layer a): note PC0317: closed 2 gaps on layer a, the largest of 1.118 nm at (3, 0) um",
            Messages(text));
    }

    [Fact]
    public void Near_misses_are_listed_with_both_ends()
    {
        string text = Drawing(Line(0, 0, 3, 0), Line(3, 0, 3, 2), Line(3, 2, 0, 0.05));
        Assert.Equal(
            [
                "a.dxf:40 (LINE on layer a): warning PC0316: the end at (0, 0.05) um misses the one at (0, 0) um (LINE on layer a) by 50 nm; move them together or allow a larger joining gap",
                "a.dxf:16 (LINE on layer a): note PC0320: layer a has 1 open outline, the first from (0, 0) um to (0, 0.05) um; written as single lines without width",
                "a.dxf: note PC0323: read with 1 drawing unit = 1 um: the drawing is 3 × 2 um",
            ],
            Messages(text));
        Assert.Equal(
            "a.dxf:16 (LINE on layer a): error PC0310: layer a has 1 open outline, the first from (0, 0) um to (0, 0.05) um; close it, allow a larger joining gap, or have open outlines written as lines",
            Error(text, new DrawingOptions { OpenOutlines = OpenOutlines.AsError }));
        Assert.IsType<PolygonShape>(Assert.Single(Read(text, new DrawingOptions { JoinGapNanometres = 50 }).Cells[0].Shapes));
    }

    [Fact]
    public void A_figure_of_eight_becomes_two_outlines()
    {
        LayoutDocument layout = Read(Drawing(
            Line(0, 0, 2, 0), Line(2, 0, 1, 1), Line(1, 1, 0, 2), Line(0, 2, 2, 2), Line(2, 2, 1, 1), Line(1, 1, 0, 0)));
        Assert.Equal(2, layout.Cells[0].Shapes.Length);
        Assert.Equal(2, Area(layout, "a"), 9);
    }

    [Fact]
    public void A_tail_on_an_outline_stays_a_line_and_the_branch_is_named()
    {
        string text = Drawing(Line(-1, 0, 0, 0), Line(0, 0, 2, 0), Line(2, 0, 2, 2), Line(2, 2, 0, 0));
        LayoutDocument layout = Read(text);
        Assert.Equal(2, Area(layout, "a"), 9);
        Assert.Equal([new(-10_000, 0), new(0, 0)], layout.Cells[0].Shapes.OfType<LineShape>().Single().Points.ToArray());
        Assert.Contains(Messages(text), m => m.Contains("PC0319: an odd number of line ends meet at (0, 0) um on layer a", StringComparison.Ordinal));
    }

    [Fact]
    public void Lines_without_length_and_lines_drawn_twice_are_dropped()
    {
        string text = Drawing(Line(0, 0, 3, 0), Line(3, 0, 0, 0), Line(1, 1, 1, 1), Line(3, 0, 0, 2), Line(0, 2, 0, 0));
        Assert.Single(Read(text).Cells[0].Shapes);
        Assert.Contains(
            "a.dxf:28 (LINE on layer a): note PC0318: dropped 2 lines on layer a that have no length or are drawn twice, the first one here",
            Messages(text));
    }

    [Fact]
    public void Pieces_on_different_layers_do_not_join() => Assert.All(
        Read(Drawing(Line(0, 0, 3, 0), Line(3, 0, 0, 2), Line(0, 2, 0, 0).Replace("8 a", "8 b", StringComparison.Ordinal))).Cells[0].Shapes,
        s => Assert.IsType<LineShape>(s));

    [Fact]
    public void Many_pieces_that_meet_in_one_point_are_joined_quickly()
    {
        var star = new List<string>();
        for (int i = 0; i < 20_000; i++)
        {
            star.Add(Line(0, 0, 1 + (i * 0.01), (i * 7919 % 1000) * 0.01));
        }

        Assert.Equal(10_000, Read(Drawing([.. star])).Cells[0].Shapes.Length);
    }

    [Fact]
    public void A_shuffled_comb_of_lines_closes_whatever_the_order()
    {
        var corners = new List<GridPoint>();
        for (int i = 0; i < 50; i++)
        {
            corners.AddRange([new(2 * i, 0), new(2 * i, 9), new((2 * i) + 1, 9), new((2 * i) + 1, 0)]);
        }

        corners.AddRange([new(99, -1), new(0, -1)]);
        string[] lines = [.. corners.Select((c, i) =>
        {
            GridPoint next = corners[(i + 1) % corners.Count];
            return i % 3 == 0 ? Line(c.X, c.Y, next.X, next.Y) : Line(next.X, next.Y, c.X, c.Y);
        })];
        new Random(5).Shuffle(lines);
        LayoutDocument layout = Read(Drawing(lines));
        Assert.Single(layout.Cells[0].Shapes);
        Assert.Equal((50 * 9) + 99, Area(layout, "a"), 9);
    }

    private static string Line(double x1, double y1, double x2, double y2) => FormattableString.Invariant($"LINE 8 a 10 {x1} 20 {y1} 11 {x2} 21 {y2}");
}
