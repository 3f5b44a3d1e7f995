using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Pictures;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Tests.Prediction.Stray;

/// <summary>What is told and drawn of stray lines.</summary>
public sealed class StrayOutputsTests
{
    private const string Way = "from (1, -2) um to (3.5, 4.25) um: 1.23 um long, 56 nm wide, 2 uC/cm2";

    private static readonly StrayJump Jump = new(7, 1000, -2000, 3500, 4250, 0.02, 0.02, 1234, 56, StrayCause.Leak);

    private static readonly Machine Machine = DefaultFiles.Machine with { Settle = new SettleModel(0, 0, 1e8), Blanker = new Blanker(false, true, 0, 0, 0) };

    [Theory]
    [InlineData(-1, -1, 0.02, "record 7 " + Way)]
    [InlineData(-1, 0, 0.0181, "before figure 0 " + Way)]
    [InlineData(0, -1, 0.0179, "after figure 0 " + Way + " (1.79 uC/cm2 of its own)")]
    [InlineData(4, 4, 0.02, "inside figure 4 " + Way)]
    [InlineData(4, 5, 0.02, "figure 4 to figure 5 " + Way)]
    public void A_line_says_between_which_figures(int from, int to, double own, string line) => Assert.Equal(
        [line], StrayText.ListOf(Report(1) with { Worst = [Jump with { FromFigure = from, ToFigure = to, OwnDoseCoulombsPerSquareMetre = own }] }));

    /// <summary>A jump lies at the figure that it leads to, or else at the one that it leaves, or else at its record.</summary>
    [Theory]
    [InlineData(-1, -1, ItemKind.Record, 7, 3500, 4250)]
    [InlineData(-1, 0, ItemKind.Figure, 0, 3500, 4250)]
    [InlineData(0, -1, ItemKind.Figure, 0, 1000, -2000)]
    [InlineData(0, 5, ItemKind.Figure, 5, 3500, 4250)]
    [InlineData(4, 0, ItemKind.Figure, 0, 3500, 4250)]
    public void A_jump_lies_at_a_figure(int from, int to, ItemKind kind, long number, double x, double y) => Assert.Equal(
        new ItemPlace(kind, number) { Field = "r1c2", XNanometres = x, YNanometres = y },
        StrayText.PlaceOf(Jump with { FromFigure = from, ToFigure = to, Field = "r1c2" }).Item);

    [Theory]
    [InlineData(20, 20, null)]
    [InlineData(21, 21, "and 1 more")]
    [InlineData(1500, 21, "and 1480 more")]
    public void No_more_than_twenty_are_listed(long printing, int lines, string? last)
    {
        string[] listed = [.. StrayText.ListOf(Report(printing) with { Worst = [.. Enumerable.Repeat(Jump, (int)Math.Min(printing, 1000))] })];
        Assert.Equal(lines, listed.Length);
        Assert.True(last is null || listed[^1] == last);
    }

    [Theory]
    [InlineData(StrayCause.Leak, "the blanker leaks")]
    [InlineData(StrayCause.LateBlanking, "the blanker is late")]
    [InlineData(StrayCause.NoBlanker, "there is no blanker")]
    public void The_warning_says_why(StrayCause cause, string reason) => Assert.Equal(
        $"3 of 90 jumps would print a line, 2.22 um in all; the worst is 1.23 um long and 56 nm wide with 2 uC/cm2, because {reason}",
        StrayText.WarningOf(Report(3) with { Worst = [Jump with { Cause = cause }] })!.Message);

    /// <summary>A document that begins with the beam on has a jump in front; each names the figure exposed last and the one that follows, of its own document.</summary>
    [Fact]
    public void Jumps_of_strokes_know_their_figures()
    {
        var figures = new JumpFigures();
        figures.Begin(new StrokesHeader(["a"]));
        figures.Write([Stroke.Dot(3, 0, 0, 1), Stroke.Jump(4, 5, 0), Stroke.Jump(5, 6, 0), Stroke.Line(5, 6, 0, 9, 0, 4, 9)]);
        figures.Write([Stroke.Jump(8, 1, 1), Stroke.Dot(8, 1, 1, 1)]);
        figures.End();
        figures.Begin(new StrokesHeader(["a"]));
        figures.Write([Stroke.Jump(2, 1, 1), Stroke.Dot(2, 1, 1, 1), Stroke.Dot(1, 2, 2, 1), Stroke.Jump(0, 1, 1)]);
        figures.End();
        Assert.Equal([(-1, 3), (3, 4), (3, 5), (5, 8), (-1, 2), (1, 0)], Enumerable.Range(0, figures.Count).Select(i => figures.Of(i)));
        Assert.Equal((-1, -1), figures.Of(6));
    }

    [Fact]
    public void A_leak_at_unknown_speed_is_told_of_the_blanker() => Assert.Equal(
        "the blanker leaks, but the machine file does not say how fast the deflection moves: stray lines cannot be predicted",
        StrayText.UnknownOf(Machine with { Settle = new SettleModel(0, 0, 0), Blanker = new Blanker(true, true, 0, 0, 1e-4) })!.Message);

    [Theory]
    [InlineData(false, false, false)]
    [InlineData(true, false, true)]
    [InlineData(false, true, true)]
    public void Reports_of_parts_add_up(bool first, bool second, bool both)
    {
        StrayReport sum = (Report(3) with { IsAlone = first }).With(new StrayReport(11, 5, 70, 0.05, [Jump], second) { OutsideLengthNanometres = 6 });
        Assert.Equal((101, 8, 2292, 0.05, 0, both, 6), (sum.Jumps, sum.Printing, sum.PrintedLengthNanometres, sum.LargestDoseCoulombsPerSquareMetre, sum.Worst.Length, sum.IsAlone, sum.OutsideLengthNanometres));
        Assert.Equal(0.05, new StrayReport(11, 5, 70, 0.05, [], false).With(Report(3)).LargestDoseCoulombsPerSquareMetre);
    }

    /// <summary>A jump of 20 µm by −10 µm prints and is drawn in the colour of an alarm; the faint jumps go the beam's own way.</summary>
    [Fact]
    public void A_picture_shows_the_way_that_the_beam_takes()
    {
        Scene marked = StrayPicture.Mark(Drawn, Scan(Machine, 5e-4));
        Assert.Equal([(SceneRole.Line, 2, 0), (SceneRole.Jump, 0, 1), (SceneRole.Alarm, 0, 1)], marked.Batches.Select(batch => (batch.Role, batch.Hue, batch.Tint)));
        Assert.Same(Drawn.Batches[0].Path, marked.Batches[0].Path);
        ScenePath way = marked.Batches[1].Path;
        Assert.Equal(1, way.Count);
        Assert.Equal((Place(30_000), Place(34_000)), (way[0][0], way[0][^1]));
        Assert.True(way[0].Length >= 16);
        Assert.Equal(["line", "jump, prints nothing", "stray line"], marked.Legend.Select(entry => entry.Text));
        Assert.Equal("before", marked.Notes[0]);
        Assert.StartsWith("Stray lines: 1 of 2 would print 2", marked.Notes[1], StringComparison.Ordinal);

        static ScenePoint Place(int code) => new((code - 32_768) * 5, (30_000 - (code - 30_000) / 2 - 32_768) * 5);
    }

    [Theory]
    [InlineData(true, "Stray lines: none of 2 would print, each jump judged alone.")]
    [InlineData(false, "Stray lines: none of 2 would print.")]
    public void A_picture_without_stray_lines_has_no_alarm(bool isAlone, string note)
    {
        Scene marked = StrayPicture.Mark(Drawn, Scan(isAlone ? Machine with { Settle = new SettleModel(0, 0, 0) } : Machine, 5));
        Assert.Equal([SceneRole.Line, SceneRole.Jump], marked.Batches.Select(batch => batch.Role));
        Assert.Equal(isAlone, ReferenceEquals(Drawn.Batches[1].Path, marked.Batches[1].Path));
        Assert.Equal(["line", "jump, prints nothing"], marked.Legend.Select(entry => entry.Text));
        Assert.Equal(["before", note], marked.Notes.ToArray());
    }

    private static Scene Drawn { get; } = new(
        PictureFrame.Choose(new SceneExtent(0, 0, 10, 20), new PictureOptions()), "t", "f", ["before"],
        [new(SceneRole.Line, 2, "line"), new(SceneRole.Jump, 0, "jump")], null, null, [],
        [new(SceneRole.Line, 2, 0, ScenePath.Of([[(1, 2), (3, 4)]])), new(SceneRole.Jump, 0, 5, ScenePath.Of([[(5, 6), (7, 8)]]))]);

    private static StrayReport Report(long printing) => new(90, printing, 2222, 0.021, [Jump], false);

    private static StrayScan Scan(Machine machine, double onset)
    {
        var scan = new StrayScan(machine, new SpreadFunction([new SpreadTerm(SpreadShape.Gaussian, 20 * Math.Sqrt(2), 1)]), onset);
        scan.Begin(new RecordsHeader("m", machine.Dac with { Bits = 16 }, 1e7, 1, 1_000_000, 5, 5, false));
        scan.Write([DeflectionRecord.Jump(30_000, 30_000, 10), DeflectionRecord.Dot(30_000, 30_000, 10), DeflectionRecord.Jump(34_000, 28_000, 3000), DeflectionRecord.Dot(34_000, 28_000, 10)]);
        scan.End();
        return scan;
    }
}
