using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Tests.Jobs.Fields;

/// <summary>Fields on both sides of the origin, on a grid of 0.5 nm; the stage moves at 100 nm/s and settles for 3 s.</summary>
public sealed class StageTourTests
{
    private static readonly FieldPlan Plan = new(500, 0, 0, [Field("r01c01", -4000, -1000), Field("r01c02", 2000, -600), Field("r02c01", 2400, 8000), Field("r02c02", 2400, -8000)]);

    [Fact]
    public void Moves_take_the_longer_axis_from_field_to_field()
    {
        var tour = StageTour.Of(Plan, With(new Stage(100, 3) { OriginNanometres = (10, 20), InvertX = true }), new DiagnosticSink());
        Assert.Equal([(2010, -480), (-990, -280), (-1190, 4020), (-1190, -3980)], tour.Select(visit => visit.Reading));
        Assert.Equal([0, 33, 46, 83], tour.Select(visit => visit.MoveSeconds));
    }

    [Fact]
    public void Without_a_stage_moves_take_no_time_and_that_is_told()
    {
        var sink = new DiagnosticSink();
        var tour = StageTour.Of(Plan, With(null), sink);
        Assert.Equal([(-2000, -500), (1000, -300), (1200, 4000), (1200, -4000)], tour.Select(visit => visit.Reading));
        Assert.All(tour, visit => Assert.Equal(0, visit.MoveSeconds));
        Assert.Equal("the machine file does not describe the stage, so its moves are counted as no time", Assert.Single(sink.Collected).Message);
    }

    [Theory]
    [InlineData(-2000, 1200, -4000, 4000, null)]
    [InlineData(-1999, 1200, -4000, 4000, "r01c01 needs the stage reading (-2, -0.5) um")]
    [InlineData(-2000, 1199, -4000, 4000, "r02c01 needs the stage reading (1.2, 4) um")]
    [InlineData(-2000, 1200, -3999, 4000, "r02c02 needs the stage reading (1.2, -4) um")]
    [InlineData(-2000, 1200, -4000, 3999, "r02c01 needs the stage reading (1.2, 4) um")]
    public void A_field_beyond_the_stages_range_is_refused(double left, double right, double bottom, double top, string? fault)
    {
        Stage stage = new(100, 3) { RangeXNanometres = (left, right), RangeYNanometres = (bottom, top) };
        string? message = Record.Exception(() => StageTour.Of(Plan, With(stage), new DiagnosticSink()))?.Message;
        Assert.Equal(fault is null ? null : $"error PC1706: the field {fault}, which is beyond its range; place the pattern elsewhere, or correct 'stage' in the machine file", message);
    }

    // 1 grid step is 500 pm: 500,000 fm.
    [Fact]
    public void A_position_is_where_the_fields_strokes_have_their_origin()
    {
        var position = StagePosition.Of(Plan.Fields[1], 500, 7, (1.5, -2.5), 4.5);
        Assert.Equal(new StagePosition(Plan.Fields[1], 1_000_000_000, -300_000_000, 7, 1.5, -2.5, 4.5), position);
    }

    /// <summary>Of 3,000 nm and 4,000 nm from the last reading, the way round leads over 1,500 nm less and back: 4,500 + 1,500 (in x 3,500 + 500).</summary>
    [Fact]
    public void Every_move_ends_by_the_same_way()
    {
        Stage stage = new(100, 3) { ApproachNanometres = (500, 1500), BacklashNanometres = (400, 1000) };
        var sink = new DiagnosticSink();
        var tour = StageTour.Of(Plan, With(stage), sink);
        Assert.Equal([(-2500, -2000), (500, -1800), (700, 2500), (700, -5500)], tour.Select(stop => stop.Details.StartNanometres));
        Assert.Equal([0, (2500 + 1500) / 100.0 + 3, (2800 + 1500) / 100.0 + 3, (9500 + 1500) / 100.0 + 3], tour.Select(stop => stop.MoveSeconds));
        Assert.Empty(sink.Collected);
    }

    [Theory]
    [InlineData(0, 0, 3000, 0, "comes to write fields from either side")]
    [InlineData(3000, 10, 3000, 0, "the way by which it comes to write fields is not longer")]
    [InlineData(-3001, 0, 3000, 0, null)]
    [InlineData(0, 0, 0, 0, null)]
    [InlineData(5000, 1999, 3000, 2000, "the way by which it comes to write fields is not longer")]
    public void A_backlash_that_no_way_takes_out_is_told(double wayX, double wayY, double x, double y, string? told)
    {
        Stage stage = new(100, 3) { ApproachNanometres = (wayX, wayY) == (0, 0) ? null : (wayX, wayY), BacklashNanometres = (x, y) };
        var sink = new DiagnosticSink();
        StageTour.Of(Plan, With(stage), sink);
        Assert.Equal(told is null ? 0 : 1, sink.Collected.Count);
        Assert.All(sink.Collected, message => Assert.Contains(told!, message.Message, StringComparison.Ordinal));
    }

    /// <summary>A way of three times the backlash along each axis, which is then enough.</summary>
    [Theory]
    [InlineData(3000, 0, 9, 0)]
    [InlineData(0, 500, 0, 1.5)]
    [InlineData(3000, 2000, 9, 6)]
    public void The_remedy_of_a_backlash_is_a_way_that_is_long_enough(double x, double y, double wayX, double wayY)
    {
        Stage stage = new(100, 3) { BacklashNanometres = (x, y) };
        var sink = new DiagnosticSink();
        StageTour.Of(Plan, With(stage), sink);
        Assert.StartsWith(FormattableString.Invariant($"write 'approach: [{wayX} um, {wayY} um]' into 'stage'"), Assert.Single(sink.Collected).Fix, StringComparison.Ordinal);
        var followed = new DiagnosticSink();
        StageTour.Of(Plan, With(stage with { ApproachNanometres = (1000 * wayX, 1000 * wayY) }), followed);
        Assert.Empty(followed.Collected);
    }

    [Fact]
    public void The_way_to_a_field_must_lie_within_the_range_too()
    {
        Stage stage = new(100, 3) { ApproachNanometres = (500, 1500), RangeYNanometres = (-5000, 5000), OriginNanometres = (0, 0) };
        string? message = Record.Exception(() => StageTour.Of(Plan, With(stage), new DiagnosticSink()))?.Message;
        Assert.Equal("error PC1706: the field r02c02 is approached from the stage reading (0.7, -5.5) um, which is beyond its range; place the pattern elsewhere, or correct 'stage' in the machine file", message);
    }

    /// <summary>A stage whose axes are turned by 90 degrees: its x axis points along the pattern's y axis, its y axis against the pattern's x axis.</summary>
    [Fact]
    public void A_turned_stage_reads_along_its_own_axes_in_whole_steps_and_the_deflection_takes_up_the_rest()
    {
        Stage stage = new(100, 3) { Frame = LayerPlacement.Of(0, 0, 90, 1, 1, 0), StepNanometres = 300, OriginNanometres = (30_000, -6000) };
        var tour = StageTour.Of(Plan, With(stage), new DiagnosticSink());

        // Places (-2000, -500), (1000, -300), (1200, 4000), (1200, -4000): exact readings origin + (y, -x), then the nearest multiple of 300.
        Assert.Equal([(29_400, -3900), (29_700, -6900), (33_900, -7200), (26_100, -7200)], tour.Select(stop => stop.Reading));
        (double X, double Y)[] remainders = [(-2000 + 2100, -500 + 600), (1000 - 900, -300 + 300), (1200 - 1200, 4000 - 3900), (1200 - 1200, -4000 + 3900)];
        Assert.All(tour.Zip(remainders), pair =>
        {
            Assert.Equal(pair.Second.X, pair.First.Details.Remainder.X, 1e-9);
            Assert.Equal(pair.Second.Y, pair.First.Details.Remainder.Y, 1e-9);
        });
        Assert.Equal(3000 / 100.0 + 3, tour[1].MoveSeconds);
    }

    [Fact]
    public void Where_the_sample_lies_decides_where_the_stage_goes_and_where_it_is_in_focus()
    {
        LayerAlignment sample = LayerAlignment.Of(LayerPlacement.Of(50, -20, 180, 1, 1, 0)) with { Sample = LayerPlacement.Of(50, -20, 180, 1, 1, 0), Focus = new(10_000_000, 0.1, -0.2) };
        var tour = StageTour.Of(Plan, With(new Stage(100, 3), sample), new DiagnosticSink());
        Assert.Equal([(2050, 480), (-950, 280), (-1150, -4020), (-1150, 3980)], tour.Select(stop => (Math.Round(stop.Reading.X, 6), Math.Round(stop.Reading.Y, 6))));
        Assert.Equal([9_999_900, 10_000_160, 9_999_320, 10_000_920], tour.Select(stop => Math.Round(stop.Details.FocusNanometres!.Value, 6)));
    }

    private static Machine With(Stage? stage, LayerAlignment? alignment = null) => DefaultFiles.Machine with
    {
        Stage = stage, Deflection = DefaultFiles.Machine.Deflection with { Alignment = alignment },
    };

    private static WriteField Field(string name, int x, int y) => new(0, 0, name, new GridPoint(x, y), new GridBox(x - 100, y - 100, x + 100, y + 100));
}
