using System.Collections.Immutable;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Tests.FrontEnds.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Flatten;

public sealed class FlattenPassTests
{
    private const string Head = "layout 1\nunit nm\ngrid 1 nm\nlayer a\nlayer b\n";

    private static FlatLayout Flatten(string text, FlattenOptions? options = null) =>
        FlattenPass.Run(LayoutText.Read(Head + text), options ?? FlattenOptions.Default, new DiagnosticSink());

    /// <summary>By the area that is left: what encloses nothing after rounding is told of, and nothing else.</summary>
    [Theory]
    [InlineData("rect on a from (0, 0) to (2, 400)", "scale 0.2", 1)]
    [InlineData("circle on a at (0, 0) radius 2", "scale 0.1", 1)]
    [InlineData("polygon on b (0, 0) (400, 1) (400, 2) (0, 1)", "scale 0.01", 1)]
    [InlineData("ring on a at (0, 0) inner 1 outer 50", "scale 0.3", 0)]
    [InlineData("rect on a from (0, 0) to (2, 400)", "rotate 90", 0)]
    [InlineData("rect on a from (0, 0) to (40, 400)", "scale 0.2", 0)]
    [InlineData("dot on a at (3, 3)", "scale 0.01", 0)]
    public void A_shape_that_rounding_leaves_without_area_is_told_of(string shape, string change, int copies)
    {
        var sink = new DiagnosticSink();
        string text = $"{Head}rect on a from (900, 900) to (999, 999)\ncell c\n{shape}\nend\nplace c at (0, 0) {change}\n";
        FlattenPass.Run(LayoutText.Read(text), FlattenOptions.Default, sink);
        string layer = shape.Split(' ')[2];
        Assert.Equal(
            copies == 0 ? [] : [$"chip.layout:10 (place): warning PC1091: 1 shape is smaller than the grid where the cell is placed, and not exposed, the first on layer '{layer}' of cell 'c'; choose a finer grid, or place the cell larger"],
            sink.Collected.Select(d => d.ToString()));
    }

    private static string Error(string text, FlattenOptions? options = null) =>
        Assert.Throws<CompileException>(() => Flatten(text, options)).Diagnostic.ToString();

    private static GridPoint[][] Rings(FlatLayer group) =>
        [.. Enumerable.Range(0, group.Area.Count).Select(i => group.Area[i].ToArray())];

    /// <summary>Sum of the rings' signed areas, in square grid steps: the covered area where rings do not overlap.</summary>
    internal static double Area(ContourSet rings)
    {
        Int128 doubled = 0;
        for (int i = 0; i < rings.Count; i++)
        {
            ReadOnlySpan<GridPoint> ring = rings[i];
            for (int j = 0; j < ring.Length; j++)
            {
                GridPoint p = ring[j];
                GridPoint q = ring[(j + 1) % ring.Length];
                doubled += ((long)p.X * q.Y) - ((long)q.X * p.Y);
            }
        }

        return (double)doubled / 2;
    }

    [Fact]
    public void Shapes_are_grouped_by_layer_and_dose()
    {
        FlatLayout flat = Flatten(
            """
            dot on b at (1, 1)
            rect on a dose 2 from (0, 0) to (1, 1)
            line on a (0, 0) (5, 5) (9, 0)
            rect on a dose 0.5 from (0, 0) to (2, 1)
            """);
        Assert.Equal([(0, 0.5), (0, 1.0), (0, 2.0), (1, 1.0)], flat.Groups.Select(group => (group.Layer, group.DoseFactor.Value)));
        Assert.Equal([new(0, 0), new(5, 5), new(9, 0)], Assert.Single(flat.Groups[1].Lines).ToArray());
        Assert.Equal(new(1, 1), Assert.Single(flat.Groups[3].Dots));
        Assert.Equal(1000, flat.GridPicometres);
        Assert.Equal(["a", "b"], flat.LayerNames.ToArray());
    }

    [Theory]
    [InlineData("", "(10, 20) (13, 20) (13, 21)")]
    [InlineData("rotate 90", "(10, 20) (10, 23) (9, 23)")]
    [InlineData("rotate 180", "(10, 20) (7, 20) (7, 19)")]
    [InlineData("rotate -90", "(10, 20) (10, 17) (11, 17)")]
    [InlineData("mirror left-right", "(7, 21) (7, 20) (10, 20)")]
    [InlineData("mirror up-down", "(13, 19) (13, 20) (10, 20)")]
    [InlineData("mirror left-right rotate 90", "(9, 17) (10, 17) (10, 20)")]
    [InlineData("scale 2", "(10, 20) (16, 20) (16, 22)")]
    [InlineData("scale (2, 3)", "(10, 20) (16, 20) (16, 23)")]
    [InlineData("rotate 30", "(10, 20) (13, 22) (12, 22)")]
    public void Cells_are_scaled_then_turned_then_moved(string how, string expected)
    {
        FlatLayout flat = Flatten($"cell t\npolygon on a (0, 0) (3, 0) (3, 1)\nend\nplace t at (10, 20) {how}\n");
        Assert.Equal(expected, string.Join(" ", Assert.Single(Rings(Assert.Single(flat.Groups)))));
    }

    [Fact]
    public void Arrays_step_in_position_and_dose()
    {
        FlatLayout flat = Flatten(
            "cell d\ndot on a at (1, 0) dose 2\nend\n"
            + "cell row\narray d at (0, 0) columns 2 column-step (10, 1) column-dose 0.5 rows 2 row-step 100 row-dose -0.25\nend\n"
            + "place row at (1000, 0) rotate 90 dose 0.5\n");
        Assert.Equal(
            [(0.75, new GridPoint(900, 1)), (1.0, new(1000, 1)), (1.25, new(899, 11)), (1.5, new(999, 11))],
            flat.Groups.Select(group => (group.DoseFactor.Value, Assert.Single(group.Dots))));
    }

    [Fact]
    public void Turning_four_times_by_a_quarter_gives_the_drawing_back() => Gen.Select(
        Gen.Int[-1000, 1000].Array[6], Gen.Int[1, 500], Gen.Bool).Sample(
        (c, width, mirror) =>
        {
            string m = mirror ? " mirror left-right" : "";
            string shapes = $"circle on a at ({c[0]}, {c[1]}) radius {width}\npath on a width {width} ends round ({c[0]}, {c[1]}) ({c[2]}, {c[3]}) ({c[4]}, {c[5]})\n";
            FlatLayout once = Flatten("cell s\n" + shapes + "end\nplace s at (0, 0)\n");
            FlatLayout four = Flatten(
                "cell s\n" + shapes + $"end\ncell q\nplace s at (7, 3) rotate 90{m}\nend\ncell r\nplace q at (0, 0) rotate 90\nend\ncell t\nplace r at (0, 0) rotate 90\nend\n"
                + $"place t at (0, 0) rotate {(mirror ? 270 : 90)}{m}\n");

            // The four turns, and the two mirrors if there are any, undo each other up to a move.
            GridPoint[][] a = Rings(once.Groups[0]);
            GridPoint[][] b = Rings(four.Groups[0]);
            Assert.Equal(a.Length, b.Length);
            (int dx, int dy) = (b[0][0].X - a[0][0].X, b[0][0].Y - a[0][0].Y);
            Assert.Equal(a.Select(ring => ring.Select(p => new GridPoint(p.X + dx, p.Y + dy)).ToArray()), b);
        },
        iter: Iterations.Usually(100));

    [Theory]
    [InlineData("(0, 0) (0, 10) (10, 10) (10, 0)", 100)] // clockwise
    [InlineData("(0, 0) (10, 0) (10, 10) (0, 10) hole (2, 2) (4, 2) (4, 4) (2, 4)", 96)] // both counter-clockwise
    [InlineData("(0, 0) (10, 0) (10, 10) (0, 10) hole (2, 2) (2, 4) (4, 4) (4, 2)", 96)]
    [InlineData("(0, 0) (0, 10) (10, 10) (10, 0) hole (2, 2) (2, 8) (8, 8) (8, 2) hole (4, 4) (6, 4) (6, 6) (4, 6)", 68)]
    [InlineData("(0, 0) (10, 10) (10, 0) (0, 10)", 50)] // a bow tie: its lobes wind opposite ways
    [InlineData("(0, 0) (10, 0) (10, 10) (0, 10) part (5, 5) (15, 5) (15, 15) (5, 15)", 150)] // the overlap is odd twice
    [InlineData("rule nonzero (0, 0) (10, 0) (10, 10) (0, 10) part (5, 5) (15, 5) (15, 15) (5, 15)", 175)]
    [InlineData("rule nonzero (0, 0) (10, 0) (10, 10) (0, 10) hole (2, 2) (2, 4) (4, 4) (4, 2)", 96)]
    [InlineData("rule nonzero (0, 0) (10, 0) (10, 10) (0, 10) part (2, 2) (4, 2) (4, 4) (2, 4)", 100)]
    [InlineData("rule nonzero (0, 0) (0, 10) (10, 10) (10, 0) hole (2, 2) (4, 2) (4, 4) (2, 4)", 96)] // all clockwise
    [InlineData("rule positive (0, 0) (0, 10) (10, 10) (10, 0)", 0)]
    [InlineData("rule positive (0, 0) (10, 0) (10, 10) (0, 10)", 100)]
    public void Fill_rules_are_resolved_so_that_shapes_cannot_cancel_each_other(string polygon, double area)
    {
        FlatLayer group = Flatten($"dot on a at (0, 0)\npolygon on a {polygon}\n").Groups[0];
        Assert.Equal(area, Area(group.Area));
        ContourSet merged = RegionBoolean.Merge(group.Area, FillRule.NonZero);
        Assert.Equal(area, Area(merged));

        // A second shape laid over the first cannot take anything away.
        FlatLayer both = Flatten($"polygon on a {polygon}\nrect on a from (-1, -1) to (20, 20)\n").Groups[0];
        Assert.Equal(441, Area(RegionBoolean.Merge(both.Area, FillRule.NonZero)));
    }

    // Closed forms: a regular polygon inscribed in a circle of radius r with n sides strays by s = r(1 − cos(π/n)), and
    // its area lies below πr² by less than the strip 2πr·s. Rounding to the grid moves each vertex by at most √½.
    [Theory]
    [InlineData(100, 1)]
    [InlineData(1_000, 1)]
    [InlineData(50_000, 1)]
    [InlineData(50_000, 0.05)]
    [InlineData(50_000, 20)]
    [InlineData(1_000_000, 1)]
    public void Circles_have_the_area_of_the_closed_form_within_the_chord_error(int radius, double chordNanometres)
    {
        FlatLayout flat = Flatten($"circle on a at (7, -9) radius {radius}\n", new FlattenOptions { ChordErrorNanometres = chordNanometres });
        double exact = Math.PI * radius * radius;
        double strip = 2 * Math.PI * radius * (chordNanometres + Math.Sqrt(0.5));
        Assert.InRange(Area(flat.Groups[0].Area), exact - strip, exact + (2 * Math.PI * radius * Math.Sqrt(0.5)));
        Assert.All(Rings(flat.Groups[0])[0], p => Assert.InRange(Distance(p, 7, -9), radius - 0.71, radius + 0.71));
    }

    private static double Distance(GridPoint p, double x, double y) => Math.Sqrt(((p.X - x) * (p.X - x)) + ((p.Y - y) * (p.Y - y)));

    [Fact]
    public void Rings_have_the_area_of_the_closed_form()
    {
        FlatLayout flat = Flatten("ring on a at (0, 0) inner 20000 outer 30000\n");
        double exact = Math.PI * (900e6 - 400e6);
        Assert.InRange(Area(flat.Groups[0].Area), exact - (2 * Math.PI * 30000 * 1.71), exact + (2 * Math.PI * 20000 * 1.71));
        Assert.Equal(2, flat.Groups[0].Area.Count);
    }

    [Fact]
    public void A_circle_under_unequal_scales_is_an_ellipse()
    {
        FlatLayout flat = Flatten("cell c\ncircle on a at (0, 0) radius 1000\nend\nplace c at (5, 6) scale (20, 3) rotate 30\n");

        // Area of an ellipse: π·a·b.
        double exact = Math.PI * 20000 * 3000;
        Assert.InRange(Area(flat.Groups[0].Area), exact - (2 * Math.PI * 20000 * 1.71), exact);
        double sin = 0.5;
        double cos = Math.Sqrt(0.75);
        Assert.All(Rings(flat.Groups[0])[0], p =>
        {
            double x = ((p.X - 5) * cos) + ((p.Y - 6) * sin);
            double y = ((p.Y - 6) * cos) - ((p.X - 5) * sin);
            Assert.Equal(1, Math.Sqrt((x * x / 400e6) + (y * y / 9e6)), 0.0003);
        });
    }

    [Fact]
    public void Layers_can_be_chosen()
    {
        var options = new FlattenOptions { Layers = ["b"] };
        FlatLayout flat = Flatten("rect on a from (0, 0) to (1, 1)\nrect on b from (0, 0) to (2, 1)\n", options);
        Assert.Equal(1, Assert.Single(flat.Groups).Layer);
        Assert.Equal("error PC1026: nothing is drawn on layer 'b'; shapes are on 'a'", Error("rect on a from (0, 0) to (1, 1)\n", options));
        Assert.Equal("error PC1026: the drawing is empty; check that it was exported with its shapes", Error(""));
        Assert.Equal(
            "error PC1025: the drawing has no layer 'c', did you mean 'a'?; its layers are 'a', 'b'",
            Error("rect on a from (0, 0) to (1, 1)\n", new FlattenOptions { Layers = ["c"] }));
    }

    [Fact]
    public void Too_many_copies_are_refused_before_they_are_made()
    {
        string text = "cell d\nrect on a from (0, 0) to (1, 1)\nend\ncell e\nend\narray e at (0, 0) columns 2000000 column-step 1 rows 1000000 row-step 1\n"
            + "array d at (0, 0) columns 1000000 column-step 1 rows 1000000 row-step 1\n";
        Assert.Equal(
            "error PC1024: written out flat, this drawing has 4000000000000 points; 100000016 are allowed (100000000, and 16 for each point drawn); check the largest array: cell 'drawing' places 'd' 1000000 x 1000000 times; if it is meant so, raise 'limits: vertices' in the job",
            Error(text));
    }

    [Fact]
    public void Empty_cells_cost_nothing_however_often_they_are_placed()
    {
        string text = "cell e\nend\nrect on a from (0, 0) to (1, 1)\narray e at (0, 0) columns 1000000 column-step 1 rows 1000000 row-step 1\n";
        Assert.Equal(1, Flatten(text).Groups[0].Area.Count);
    }

    [Fact]
    public void Faults_of_the_hierarchy_are_reported()
    {
        string nest = string.Concat(Enumerable.Range(0, 10_000).Select(i => $"cell c{i}\nplace c{i + 1} at (0, 0)\nend\n")) + "cell c10000\ndot on a at (0, 0)\nend\nplace c0 at (0, 0)\n";
        Assert.Equal("error PC1023: cells nest more than 1000 deep, at cell 'c999'; draw with fewer levels", Error(nest));
        Assert.Equal(
            "chip.layout:9 (place, drawing > d): error PC1027: a shape of cell 'd' lies beyond the grid of 1 nm, which reaches \u00B11073741.823 um; check where it is placed, or choose a coarser grid",
            Error("cell d\ndot on a at (1, 0)\nend\nplace d at (1073741823, 0)\n"));
        Assert.Equal(
            "chip.layout:9 (place, drawing > d): error PC1027: a shape of cell 'd' lies beyond the grid of 1 nm, which reaches \u00B11073741.823 um; check where it is placed, or choose a coarser grid",
            Error("cell d\ncircle on a at (0, 0) radius 1000\nend\nplace d at (0, 0) scale 1e9\n"));
        Assert.Equal(
            "chip.layout:9 (array): error PC1028: in cell 'drawing', the array of 'd' has a dose factor of -0.5 at column 4, row 1; dose factors lie between 0 and 2000: choose a smaller dose step or fewer copies",
            Error("cell d\ndot on a at (1, 0)\nend\narray d at (0, 0) columns 5 column-step 1 column-dose -0.5\n"));
    }

    [Fact]
    public void Faulty_documents_of_other_makers_are_reported()
    {
        Instance Of(string cell) => new(cell, default, Orientation.Identity, Repetition.Once, DoseFactor.One);
        string Run(params Cell[] cells) => Assert.Throws<CompileException>(
            () => FlattenPass.Run(new LayoutDocument(100, ["a"], [.. cells], "top"), FlattenOptions.Default, new DiagnosticSink())).Diagnostic.ToString();
        Assert.Equal("error PC1021: the drawing's top cell 'top' does not exist", Run());
        Assert.Equal("error PC1021: cell 'top' places 'x', which does not exist", Run(new Cell("top", [], [Of("x")])));
        Assert.Equal("error PC1022: cell 'top' places itself; remove one of these placements", Run(new Cell("top", [], [Of("top")])));
        Assert.Equal(
            "error PC1022: cell 'a' contains itself through 'b'; remove one of these placements",
            Run(new Cell("a", [], [Of("b")]), new Cell("b", [], [Of("a")]), new Cell("top", [], [Of("a")])));
    }
}
