using PatternCompiler.Diagnostics;
using PatternCompiler.Generate;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;

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

    // Zone condition (E. Hecht, Optics, Fresnel zones; from memory): r_n² = nλf + (nλ/2)².
    [Fact]
    public void The_outermost_zone_ends_where_the_zone_condition_says()
    {
        LayoutDocument layout = TestPatterns.Find("zone-plate").Build([new("zones", "29")]);
        int outer = layout.Cells.Single().Shapes.OfType<RingShape>().Max(s => s.OuterRadius);
        double expected = Math.Sqrt(29 * 0.633 * 60 + Math.Pow(29 * 0.633 / 2, 2)) * 10_000;
        Assert.Equal(expected, outer, 0.51);
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
