using System.Globalization;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;

namespace PatternCompiler.Tests.FrontEnds;

/// <summary>An outline that winds around a part twice is told of, and no other.</summary>
public sealed class SelfCrossingsTests
{
    private static readonly GridPoint[] Star = [new(0, 1000), new(588, -809), new(-951, 309), new(951, 309), new(-588, -809)];

    [Fact]
    public void A_five_pointed_star_in_one_stroke_is_told_of_once()
    {
        var crossings = new SelfCrossings(WorkLimits.Usual);
        crossings.See(Star);
        crossings.See(Star);
        Assert.Equal(
            "a.gds: note PC0791: 2 outlines cross themselves and wind around parts of their area twice; those parts are filled, the first with a corner at (0, 0.1) um; draw the part as a hole of its own if it is to stay empty",
            Told(crossings));
    }

    [Theory]
    [InlineData("a bow tie", "0,0 10,10 10,0 0,10")]
    [InlineData("a cut to a hole", "0,0 30,0 30,30 0,30 0,0 10,10 10,20 20,20 20,10 10,10")]
    [InlineData("a comb", "0,0 50,0 50,20 40,20 40,5 30,5 30,20 20,20 20,5 10,5 10,20 0,20")]
    [InlineData("a spiral", "0,0 100,0 100,100 0,100 0,20 80,20 80,80 20,80 20,40 60,40 60,60 40,60 40,70 70,70 70,30 10,30 10,90 90,90 90,10 0,10")]
    public void Outlines_that_any_rule_fills_alike_are_not(string what, string points)
    {
        GridPoint[] ring = [.. points.Split(' ').Select(point => point.Split(',')).Select(pair => new GridPoint(int.Parse(pair[0], CultureInfo.InvariantCulture), int.Parse(pair[1], CultureInfo.InvariantCulture)))];
        var crossings = new SelfCrossings(WorkLimits.Usual);
        crossings.See(ring);
        Assert.True(Told(crossings) is null, what);
    }

    /// <summary>Against the areas by both rules, without any of the short cuts.</summary>
    [Fact]
    public void It_is_told_exactly_where_the_two_fill_rules_differ() =>
        Gen.Select(Gen.Int[-20, 20], Gen.Int[-20, 20], (x, y) => new GridPoint(x * 1000, y * 1000)).Array[3, 9].Sample(ring =>
        {
            ContourSet outline = ContourSet.FromRing(ring);
            bool differs = ExactArea.Twice(RegionBoolean.Merge(outline, FillRule.NonZero, threads: 1)) != ExactArea.Twice(RegionBoolean.Merge(outline, FillRule.EvenOdd, threads: 1));
            var crossings = new SelfCrossings(WorkLimits.Usual);
            crossings.See(ring);
            Assert.Equal(differs, Told(crossings) is not null);
        }, iter: Iterations.Usually(100));

    private static string? Told(SelfCrossings crossings)
    {
        var sink = new DiagnosticSink();
        crossings.Report(sink, "a.gds", 100);
        return sink.Collected.SingleOrDefault()?.ToString();
    }
}
