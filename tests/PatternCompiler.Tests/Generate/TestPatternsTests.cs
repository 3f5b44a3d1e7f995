using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Generate;
using PatternCompiler.Generate.Patterns;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Tests.Generate;

public class TestPatternsTests
{
    private const int HalfFieldSteps = 500_000;

    public static TheoryData<string> Names => [.. TestPatterns.All.Select(p => p.Name)];

    [Theory]
    [MemberData(nameof(Names))]
    public void Every_pattern_with_its_defaults_fits_a_field_of_100_um(string name)
    {
        LayoutDocument layout = TestPatterns.Find(name).Build([]);
        Shape[] shapes = [.. layout.Cells.Single().Shapes];
        Assert.NotEmpty(shapes);
        Assert.All(shapes.SelectMany(Extent), p =>
        {
            Assert.InRange(p.X, -HalfFieldSteps, HalfFieldSteps);
            Assert.InRange(p.Y, -HalfFieldSteps, HalfFieldSteps);
        });
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Every_pattern_says_how_to_use_it(string name)
    {
        TestPattern pattern = TestPatterns.Find(name);
        Assert.All(
            new[] { pattern.Summary, pattern.Guide.Expose, pattern.Guide.Measure, pattern.Guide.Use },
            text => Assert.True(text.Length > 10));
        Assert.Equal(pattern.Parameters.Length, pattern.Parameters.Select(p => p.Name).Distinct().Count());
    }

    [Fact]
    public void Dose_factors_of_a_matrix_rise_in_equal_ratios()
    {
        LayoutDocument layout = TestPatterns.Find("dose-matrix").Build(
            [new("columns", "3"), new("rows", "1"), new("first-dose", "0.5"), new("last-dose", "2")]);
        Assert.Equal(["0.5", "1", "2"], layout.Cells.Single().Shapes.OfType<RectangleShape>().Select(s => s.DoseFactor.ToString()));
    }

    // The middle of a feature is drawn, that of a gap is not, and right and left of it half of the width away it is the other way round.
    [Fact]
    public void The_table_of_a_dose_matrix_says_where_each_feature_is_and_how_wide()
    {
        TestPattern pattern = TestPatterns.Find("dose-matrix");
        PatternDrawing drawing = pattern.Drawn([new("columns", "2"), new("rows", "3"), new("bars", "2"), new("narrowest", "150 nm"), new("widest", "401 nm")]);
        string[] columns = [.. pattern.Columns!.Split(',', StringSplitOptions.TrimEntries)];
        RectangleShape[] shapes = [.. drawing.ToLayout().Cells.Single().Shapes.OfType<RectangleShape>()];
        Assert.Equal(6 * (1 + (2 * 4)), drawing.Readings.Count);
        foreach (string[] row in drawing.Readings.Select(row => row.Split(',')))
        {
            string Cell(string column) => row[Array.IndexOf(columns, column)];
            double Number(string column) => double.Parse(Cell(column), CultureInfo.InvariantCulture);
            (double x, double y, double half) = (10_000 * Number("x [um]"), 10_000 * Number("y [um]"), 5 * Number("drawn [nm]"));
            Assert.Equal((columns.Length, "", ""), (row.Length, Cell("measured [nm]"), Cell("thickness [nm]")));
            bool isGap = Cell("feature") == "gap";
            Assert.Equal((string?[])[isGap ? null : Cell("factor"), isGap ? null : Cell("factor")], (string?[])[DoseAt(x - half + 1, y), DoseAt(x + half - 1, y)]);
            Assert.Equal((string?[])[isGap ? Cell("factor") : null, isGap ? Cell("factor") : null], (string?[])[DoseAt(x - half - 1, y), DoseAt(x + half + 1, y)]);
        }

        string? DoseAt(double x, double y) => shapes.SingleOrDefault(shape => x > shape.XLeft && x < shape.XRight && y > shape.YBottom && y < shape.YTop)?.DoseFactor.ToString();
    }

    [Fact]
    public void The_table_of_dots_has_each_of_them()
    {
        PatternDrawing drawing = TestPatterns.Find("lines-and-dots").Drawn([new("steps", "3")]);
        Assert.Equal(
            drawing.ToLayout().Cells.Single().Shapes.OfType<DotShape>().Select(dot => FormattableString.Invariant($"{dot.DoseFactor},{dot.Position.X / 10_000.0},{dot.Position.Y / 10_000.0},")),
            drawing.Readings);
    }

    // A doubly exposed corner would tell of a wrong dose, not of the resist.
    [Theory]
    [MemberData(nameof(Names))]
    public void No_pattern_exposes_a_place_twice(string name)
    {
        FlatLayout flat = FlattenPass.Run(TestPatterns.Find(name).Build([]), FlattenOptions.Default, new DiagnosticSink());
        var all = new ContourSetBuilder();
        foreach (FlatLayer group in flat.Groups.Where(group => flat.LayerNames[group.Layer] == "pattern"))
        {
            all.AddAll(group.Area);
        }

        ContourSet rings = all.ToContourSet();
        Assert.Equal(ExactArea.Twice(RegionBoolean.Merge(rings)), ExactArea.Twice(rings));
    }

    // E. Hecht, Optics, section on the Fresnel zone plate (from memory): along the path over the n-th zone's border to the
    // focus, light travels n half wavelengths further than along the axis; so r_n² = nλf + (nλ/2)².
    [Theory]
    [InlineData(0.633, 60, 30)]
    [InlineData(0.5, 1000, 200)]
    [InlineData(0.0024, 500, 61)]
    public void Every_zone_ends_where_the_path_is_longer_by_half_wavelengths(double wavelength, double focus, int zones)
    {
        LayoutDocument layout = TestPatterns.Find("zone-plate").Build(
            [new("wavelength", FormattableString.Invariant($"{wavelength} um")), new("focus", FormattableString.Invariant($"{focus} um")), new("zones", zones.ToString(CultureInfo.InvariantCulture))]);
        Shape[] shapes = [.. layout.Cells.Single().Shapes];
        int[] radii = [.. shapes.OfType<CircleShape>().Select(disc => disc.Radius), .. shapes.OfType<RingShape>().SelectMany(ring => (int[])[ring.InnerRadius, ring.OuterRadius])];
        Assert.Equal((zones + 1) / 2 * 2 - 1, radii.Length);
        for (int n = 1; n <= radii.Length; n++)
        {
            double radius = radii[n - 1] * layout.GridPicometres * 1e-6;
            double detour = Math.Sqrt((radius * radius) + (focus * focus)) - focus;

            // Half a grid step of radius is this much of the path.
            double step = layout.GridPicometres * 0.51e-6 * radius / focus;
            Assert.Equal(n * wavelength / 2, detour, step);
            Assert.Equal(Math.Sqrt((n * wavelength * focus) + Math.Pow(n * wavelength / 2, 2)), radius, layout.GridPicometres * 0.51e-6);
        }
    }

    [Fact]
    public void Widths_of_lines_are_what_their_labels_say()
    {
        LayoutDocument layout = TestPatterns.Find("line-space").Build([]);
        int[] widths = [.. layout.Cells.Single().Shapes.OfType<RectangleShape>().Select(bar => Math.Min(bar.XRight - bar.XLeft, bar.YTop - bar.YBottom)).Distinct()];
        Assert.Equal([10_000, 7000, 4900, 3430, 2400, 1680], widths);
    }

    // The next tooth pair stands in line when the fields are apart by one reading more: that is what a vernier is.
    [Fact]
    public void Neighbouring_teeth_of_a_vernier_differ_by_one_reading()
    {
        RectangleShape[] teeth = [.. TestPatterns.Find("stitching-vernier").Build([]).Cells.Single().Shapes.OfType<RectangleShape>()];
        int[] main = [.. teeth.Where(tooth => tooth.XLeft == -447_000).Select(tooth => tooth.YBottom)];
        int[] vernier = [.. teeth.Where(tooth => tooth.XRight == 447_000).Select(tooth => tooth.YBottom)];
        Assert.Equal(Enumerable.Range(-10, 21).Select(i => i * 200), vernier.Zip(main, (v, m) => v - m));
    }

    /// <summary>What is drawn twice on one place is written once; lines and dots of equal dose in many visits must not be.</summary>
    [Theory]
    [InlineData("blanker-target")]
    [InlineData("settling-target")]
    public void Nothing_of_a_target_with_many_visits_is_drawn_twice_on_one_place(string name)
    {
        var sink = new DiagnosticSink();
        FlatLayout flat = FlattenPass.Run(TestPatterns.Find(name).Build([]), new FlattenOptions(), sink);
        Assert.Empty(sink.Collected);
        Assert.All(flat.Groups, group => Assert.Equal(group.Dots.Length, group.Dots.Distinct().Count()));
    }

    [Fact]
    public void Every_row_of_the_blanker_target_has_one_dose_at_twice_the_speed_of_the_row_below()
    {
        LineShape[] lines = [.. TestPatterns.Find("blanker-target").Build([]).Cells.Single().Shapes.OfType<LineShape>()];
        (double Y, int Times, double Factor)[] rows = [.. lines.GroupBy(line => line.DoseFactor).Select(row => (row.Average(line => (double)line.Points[0].Y), row.Count() / 4, row.Key.Value)).OrderBy(row => row.Item1)];
        Assert.Equal([1, 2, 4, 8, 16], rows.Select(row => row.Times));
        Assert.All(rows, row => Assert.Equal(1, row.Times * row.Factor, 1e-9));
        Assert.All(lines, line => Assert.True(line.Points[0].X < line.Points[1].X));
    }

    [Fact]
    public void Fields_of_a_vernier_lie_side_by_side()
    {
        RectangleShape[] one = [.. TestPatterns.Find("stitching-vernier").Build([]).Cells.Single().Shapes.OfType<RectangleShape>()];
        RectangleShape[] four = [.. TestPatterns.Find("stitching-vernier").Build([new("columns", "2"), new("rows", "2")]).Cells.Single().Shapes.OfType<RectangleShape>()];
        Assert.Equal(
            four.Select(tooth => (tooth.XLeft, tooth.YBottom, tooth.XRight, tooth.YTop)).Order(),
            one.SelectMany(tooth => ((int X, int Y)[])[(-450_000, -450_000), (450_000, -450_000), (-450_000, 450_000), (450_000, 450_000)], (tooth, by) => (tooth.XLeft + by.X, tooth.YBottom + by.Y, tooth.XRight + by.X, tooth.YTop + by.Y)).Order());
    }

    [Fact]
    public void Scales_of_the_converter_target_are_even_to_a_grid_step()
    {
        LineShape[] lines = [.. TestPatterns.Find("dac-target").Build([]).Cells.Single().Shapes.OfType<LineShape>()];
        int[] scale = [.. lines.Where(line => line.Points[0].Y == -460_000).Select(line => line.Points[0].X)];
        Assert.Equal(33, scale.Length);
        Assert.Equal((-400_000, 400_000), (scale[0], scale[^1]));
        Assert.All(scale.Zip(scale.Skip(1)), pair => Assert.Equal(25_000, pair.Second - pair.First, 1.0));
    }

    /// <summary>A group of even lines fits in many places, and a picture of it would be refused: moved along by a few lines, a quarter of them at least meets one of another length.</summary>
    [Fact]
    public void Lines_of_the_converter_target_are_long_and_short_in_an_order_that_does_not_repeat()
    {
        LineShape[] lines = [.. TestPatterns.Find("dac-target").Build([]).Cells.Single().Shapes.OfType<LineShape>()];
        foreach (bool isUpright in (bool[])[true, false])
        {
            LineShape[] group = [.. lines.Where(line => isUpright ? line.Points[0].Y == 40_000 && Math.Abs(line.Points[0].X) < 36_001 : line.Points[1].X == -40_000 && Math.Abs(line.Points[0].Y) < 36_001)];
            bool[] isLong = [.. group.Select(line => Math.Abs(line.Points[1].X - line.Points[0].X) + Math.Abs(line.Points[1].Y - line.Points[0].Y) == 40_000)];
            Assert.Equal(24, isLong.Length);
            Assert.InRange(isLong.Count(value => value), 8, 16);
            for (int shift = 1; shift <= 12; shift++)
            {
                Assert.InRange(isLong.Zip(isLong.Skip(shift)).Count(pair => pair.First != pair.Second), (24 - shift) * 0.25, 24);
            }
        }
    }

    [Fact]
    public void Every_mark_of_a_field_has_a_name_of_its_own()
    {
        // Names are drawn in letters; two that look alike would be drawn alike.
        Cell cell = TestPatterns.Find("field-grid").Build([]).Cells.Single();
        RectangleShape[] bars = [.. cell.Shapes.OfType<RectangleShape>().Where(bar => bar.XRight - bar.XLeft > bar.YTop - bar.YBottom)];
        Assert.Equal(49, bars.Length);
        string[] names = [.. bars.Select(bar => string.Join(';', cell.Shapes.OfType<PathShape>()
            .Where(path => Math.Abs(path.Points[0].X - bar.XRight) < 30_000 && path.Points[0].Y > bar.YTop && path.Points[0].Y < bar.YTop + 30_000)
            .Select(path => string.Join(' ', path.Points.Select(p => (p.X - bar.XRight, p.Y - bar.YTop))))))];
        Assert.All(names, name => Assert.NotEmpty(name));
        Assert.Equal(49, names.Distinct().Count());
    }

    [Fact]
    public void An_unknown_pattern_gets_a_suggestion()
    {
        var error = Assert.Throws<CompileException>(() => TestPatterns.Find("dose-matrx"));
        Assert.Equal("error PC5001: there is no test pattern 'dose-matrx'; did you mean 'dose-matrix'?", error.Message);
    }

    [Theory]
    [InlineData("grating", "pich", "1 um", "error PC5002: 'grating' has no parameter 'pich'; did you mean 'pitch'?")]
    [InlineData("grating", "pitch", "1 V", "error PC5003: 'pitch' needs a length, but '1 V' is a voltage; write for example 20 nm")]
    [InlineData("grating", "bars", "2.5", "error PC5003: 'bars' is 2.5, but must be a whole number from 1 to 100000; the default is 50")]
    [InlineData("grating", "duty", "1.5", "error PC5004: the bars are wider than their pitch; set duty below 1")]
    public void Wrong_parameters_are_refused(string pattern, string name, string value, string expected)
    {
        var error = Assert.Throws<CompileException>(() => TestPatterns.Find(pattern).Build([new(name, value)]));
        Assert.Equal(expected, error.Message);
    }

    private static IEnumerable<GridPoint> Extent(Shape shape) => shape switch
    {
        RectangleShape r => [new(r.XLeft, r.YBottom), new(r.XRight, r.YTop)],
        PolygonShape p => p.Contours.Points.ToArray(),
        CircleShape c => [new(c.Centre.X - c.Radius, c.Centre.Y - c.Radius), new(c.Centre.X + c.Radius, c.Centre.Y + c.Radius)],
        RingShape r => [new(r.Centre.X - r.OuterRadius, r.Centre.Y - r.OuterRadius), new(r.Centre.X + r.OuterRadius, r.Centre.Y + r.OuterRadius)],
        PathShape p => p.Points,
        LineShape l => l.Points,
        DotShape d => [d.Position],
        _ => throw new InvalidOperationException(shape.GetType().Name),
    };
}
