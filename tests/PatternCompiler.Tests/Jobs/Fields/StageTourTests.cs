using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
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
        var tour = StageTour.Of(Plan, new Stage(100, 3) { OriginNanometres = (10, 20), InvertX = true }, new DiagnosticSink());
        Assert.Equal([(2010, -480), (-990, -280), (-1190, 4020), (-1190, -3980)], tour.Select(visit => visit.Reading));
        Assert.Equal([0, 33, 46, 83], tour.Select(visit => visit.MoveSeconds));
    }

    [Fact]
    public void Without_a_stage_moves_take_no_time_and_that_is_told()
    {
        var sink = new DiagnosticSink();
        var tour = StageTour.Of(Plan, null, sink);
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
        string? message = Record.Exception(() => StageTour.Of(Plan, stage, new DiagnosticSink()))?.Message;
        Assert.Equal(fault is null ? null : $"error PC1706: the field {fault}, which is beyond its range; place the pattern elsewhere, or correct 'stage' in the machine file", message);
    }

    // 1 grid step is 500 pm: 500,000 fm.
    [Fact]
    public void A_position_is_where_the_fields_strokes_have_their_origin()
    {
        var position = StagePosition.Of(Plan.Fields[1], 500, 7, (1.5, -2.5), 4.5);
        Assert.Equal(new StagePosition(Plan.Fields[1], 1_000_000_000, -300_000_000, 7, 1.5, -2.5, 4.5), position);
    }

    private static WriteField Field(string name, int x, int y) => new(0, 0, name, new GridPoint(x, y), new GridBox(x - 100, y - 100, x + 100, y + 100));
}
