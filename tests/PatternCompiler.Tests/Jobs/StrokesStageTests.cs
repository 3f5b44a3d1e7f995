using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Prediction.Stray;
using PatternCompiler.Tests.Passes;
using PatternCompiler.Tests.Passes.Fill;
using PatternCompiler.Tests.Passes.Route;

namespace PatternCompiler.Tests.Jobs;

public sealed class StrokesStageTests
{
    [Fact]
    public void Combs_that_would_be_bridged_print_clean()
    {
        var sink = new DiagnosticSink();
        (List<Stroke> strokes, StrayReport? straight) = Run(hidden: true, sink, RouteCase.Combs);
        Assert.InRange(straight!.PrintedLengthNanometres, 1000, double.PositiveInfinity);
        Assert.Equal(0, Scan(strokes).Printing);
        Diagnostic note = Assert.Single(sink.Collected, d => d.Code.Id == "PC1303");
        Assert.Matches(
            @"^jumps led around: none of \d+ would print; led straight, \d+ of \d+ would print [\d.]+ [un]m(, [\d.]+ [un]m of it around the pattern)?, with up to [\d.]+ uC/cm2$",
            note.Message);
    }

    [Fact]
    public void A_beam_that_is_not_off_must_not_wait_near_the_pattern()
    {
        Assert.Equal(
            "warning PC1304: the beam waits at (-6.5, -8) um, only 500 nm from the pattern, where electrons scatter 8 um far, and is not off there; give another place as 'park' in the machine file, or move the pattern",
            Warning((-6_500, -8_000))!.ToString());
        Assert.Contains("inside the pattern's bounds", Warning((0, 0))!.Message, StringComparison.Ordinal);
        Assert.Null(Warning((-24_000, -24_000)));

        // Above, below and to either side of combs that lie from (-6, -8) to (6, 9) um.
        foreach ((double, double) place in ((double, double)[])[(3_000, 9_500), (3_000, -8_500), (6_500, 1_000), (-6_500, 1_000)])
        {
            Assert.Contains("only 500 nm from the pattern", Warning(place)!.Message, StringComparison.Ordinal);
        }

        static Diagnostic? Warning((double, double) park)
        {
            var sink = new DiagnosticSink();
            BuildSettings settings = RouteCase.Settings with
            {
                Job = RouteCase.Settings.Job with { HidesTravel = false },
                Machine = RouteCase.Machine with { ParkNanometres = park },
            };
            StrokesStage.Run(
                new FiguresDocument(new FiguresHeader(100, ["pattern"]), RouteCase.Combs), settings, new CollectingSink<StrokesHeader, Stroke>(), sink, CancellationToken.None);
            return sink.Collected.SingleOrDefault(d => d.Code.Id == "PC1304");
        }
    }

    [Fact]
    public void Straight_jumps_are_filled_as_ever()
    {
        var sink = new DiagnosticSink();
        (List<Stroke> strokes, StrayReport? straight) = Run(hidden: false, sink, RouteCase.Combs);
        Assert.Null(straight);
        Assert.DoesNotContain(strokes, stroke => stroke.Kind == StrokeKind.Via);
        Assert.DoesNotContain(sink.Collected, d => d.Code.Id == "PC1303");
    }

    /// <summary>Whatever the figures: what is exposed is the same, figure by figure, and no more prints than with straight jumps.</summary>
    [Fact]
    public void Leading_jumps_around_changes_no_exposure_and_prints_no_more() => Rectangles.Sample(
        figures =>
        {
            (List<Stroke> straight, _) = Run(hidden: false, new DiagnosticSink(), figures);
            (List<Stroke> hidden, StrayReport? before) = Run(hidden: true, new DiagnosticSink(), figures);
            Assert.Equal(Exposed(straight), Exposed(hidden));
            StrayReport expected = Scan(straight);
            Assert.Equal((expected.Printing, expected.PrintedLengthNanometres), (before!.Printing, before.PrintedLengthNanometres));
            Assert.InRange(Scan(hidden).Harm, 0, expected.Harm);
        },
        iter: Iterations.Usually(6),
        threads: 1);

    private static (List<Stroke> Strokes, StrayReport? IfStraight) Run(bool hidden, DiagnosticSink sink, Figure[] figures)
    {
        BuildSettings settings = RouteCase.Settings with { Job = RouteCase.Settings.Job with { HidesTravel = hidden } };
        var output = new CollectingSink<StrokesHeader, Stroke>();
        StrokesReport report = StrokesStage.Run(new FiguresDocument(new FiguresHeader(100, ["pattern"]), figures), settings, output, sink, CancellationToken.None);
        return (output.Items, report.IfStraight);
    }

    private static StrayReport Scan(List<Stroke> strokes)
    {
        var scan = StrayScan.For(RouteCase.Machine, RouteCase.Settings.Process);
        var pass = new ScalePass(StageOptions.Scale(RouteCase.Settings.Job, RouteCase.Machine), scan);
        pass.Begin(new StrokesHeader(["pattern"]));
        pass.Write(strokes.ToArray());
        pass.End();
        return scan.ToReport();
    }

    // Apart from each other, so that there is a gap between them.
    private static Gen<Figure[]> Rectangles =>
        from count in Gen.Int[2, 5]
        from sizes in Gen.Int[4_000, 35_000].Array[2 * count]
        from places in Gen.Int[-40_000, 40_000].Array[count]
        select Enumerable.Range(0, count)
            .Select(i => FillCase.Rectangle(-100_000 + 50_000 * i, places[i], sizes[2 * i], sizes[2 * i + 1]))
            .ToArray();

    // A figure may be written from its other end.
    private static IEnumerable<(int, long, long, long, long)> Exposed(List<Stroke> strokes) => strokes
        .Where(s => !s.IsBlanked)
        .Select(s => (s.Figure, Math.Min(s.XFemtometres, s.EndXFemtometres), Math.Max(s.XFemtometres, s.EndXFemtometres), s.YFemtometres, s.ChargeZeptocoulombs))
        .Order();
}
