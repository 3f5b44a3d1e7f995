using PatternCompiler.Instrument;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Tests.Prediction.Estimate;

/// <summary>A link of 1 MB/s, a clock of 10 MHz and few blocks, followed by hand.</summary>
public sealed class LinkTraceTests
{
    private const double Nothing = 1e-15;
    private const int Block = 526;

    [Fact]
    public void A_buffer_of_one_block_waits_for_every_block_but_the_first()
    {
        // A receiver of two blocks less a byte grants one.
        LinkTrace trace = Trace(2 * Block - 1);
        trace.Take(500, 100_000, At(0), Exposing);
        trace.Take(526, 100_000, At(10), Exposing);
        trace.Take(400, 100_000, At(20), Exposing);
        LinkEstimate found = trace.ToEstimate();
        Assert.Equal(2, found.Stalls);
        Assert.Equal(926e-6, found.StallSeconds, Nothing);
        Assert.Equal(526e-6, found.LongestStallSeconds, Nothing);
        AssertPlace(new StallPlace(10, 1, 2, 3, 10e-3), found.FirstStall);
        AssertPlace(new StallPlace(10, 1, 2, 3, 10e-3), found.WorstStall);
        Assert.Equal(1426 / 30e-3, found.MeanBytesPerSecond, 1e-9);
    }

    [Fact]
    public void Two_blocks_are_enough_where_each_lasts_as_long_as_the_next_travels()
    {
        LinkTrace trace = Trace(2 * Block);
        trace.Take(500, 5260, At(0), Exposing);
        trace.Take(526, 5260, At(10), Exposing); // comes in 526 us, just as the first is done
        trace.Take(526, 5259, At(20), Exposing);
        Assert.Equal(0, trace.ToEstimate().Stalls);
        trace.Take(526, 1, At(30), Exposing); // the block before is a tick too short
        LinkEstimate found = trace.ToEstimate();
        Assert.Equal(1, found.Stalls);
        Assert.Equal(1e-7, found.StallSeconds, Nothing);
        AssertPlace(new StallPlace(30, 1, 2, 3, 1577.9e-6), found.FirstStall);
    }

    [Fact]
    public void Blocks_that_come_while_one_is_written_carry_a_busy_stretch_as_far_as_there_is_room()
    {
        // While the first runs two more come and fill three blocks' room; the fourth is sent when the first is done, at 5000 us.
        LinkTrace trace = Trace(3 * Block);
        trace.Take(500, 50_000, At(0), Exposing);
        trace.Take(500, 1000, At(10), Exposing); // to 5100 us
        trace.Take(500, 1000, At(20), Exposing); // to 5200 us
        trace.Take(500, 1000, At(30), Exposing); // comes at 5500 us
        trace.Take(500, 1000, At(40), Exposing); // sent at 5500 us, comes at 6000 us, 400 us after the one before is done
        LinkEstimate found = trace.ToEstimate();
        Assert.Equal(2, found.Stalls);
        Assert.Equal(700e-6, found.StallSeconds, Nothing);
        AssertPlace(new StallPlace(30, 1, 2, 3, 5200e-6), found.FirstStall);
        AssertPlace(new StallPlace(40, 1, 2, 3, 5600e-6), found.WorstStall);
    }

    [Fact]
    public void The_first_stall_stays_the_worst_where_none_is_longer()
    {
        LinkTrace trace = Trace(Block);
        trace.Take(500, 10, At(0), Exposing);
        trace.Take(500, 10, At(1), Exposing);
        trace.Take(500, 10, At(2), Exposing);
        LinkEstimate found = trace.ToEstimate();
        Assert.Equal((2, 1, 1), (found.Stalls, found.FirstStall!.Record, found.WorstStall!.Record));
    }

    [Fact]
    public void Writing_starts_with_the_first_block_and_not_with_a_full_buffer()
    {
        LinkTrace trace = Trace(1 << 20);
        trace.Take(526, 1000, At(0), Exposing);
        trace.Take(526, 1000, At(51), Exposing);
        Assert.Equal(426e-6, trace.ToEstimate().StallSeconds, Nothing);
    }

    [Fact]
    public void Between_streams_nothing_travels_and_nothing_stalls()
    {
        LinkTrace trace = Trace(1 << 20);
        trace.Take(526, 1_000_000, At(0), Exposing);
        trace.BeginStream();
        trace.Take(526, 1000, At(51), Exposing);
        Assert.Equal(0, trace.ToEstimate().Stalls);
        trace.Take(526, 1000, At(102), Exposing);
        Assert.Equal(426e-6, trace.ToEstimate().StallSeconds, Nothing);
    }

    [Fact]
    public void The_busiest_stretch_is_as_many_blocks_as_the_buffer_holds()
    {
        LinkTrace trace = Trace(2 * Block);
        trace.Take(500, 10_000, At(0), Exposing);
        Assert.Equal(0, trace.ToEstimate().BusiestBytesPerSecond);
        trace.Take(500, 20_000, At(0), Exposing);
        trace.Take(400, 10_000, At(0), Exposing);
        trace.Take(500, 30_000, At(0), Exposing);
        Assert.Equal(1000 / 3e-3, trace.ToEstimate().BusiestBytesPerSecond, 1e-6);
    }

    /// <summary>By hand: the room of the first block is free at 5000 us, so its successor but one is sent 2 ms after that.</summary>
    [Fact]
    public void Credit_takes_the_round_trip()
    {
        var trace = new LinkTrace(new Link(1e6, 2 * Block, true) { LatencySeconds = 2e-3 }, 10e6);
        trace.Take(500, 50_000, At(0), Exposing); // to 5000 us after its start
        trace.Take(500, 10_000, At(10), Exposing); // to 6000 us
        trace.Take(500, 10_000, At(20), Exposing); // sent at 7000 us, comes at 7500 us
        LinkEstimate found = trace.ToEstimate();
        Assert.Equal((1, 1, 2e-3, 2), (found.Stalls, found.StallsAmidExposure, found.RoundTripSeconds, found.Blocks));
        Assert.Equal(1500e-6, found.StallSeconds, Nothing);
        Assert.Equal(3, found.NeededBlocks);
        Assert.Equal(3 * Block, found.NeededBufferBytes);
        Assert.Null(found.NeededBytesPerSecond);
    }

    [Fact]
    public void Blocks_take_the_place_of_bytes()
    {
        var trace = new LinkTrace(new Link(1e6, 100 * Block, true) { Blocks = 1 }, 10e6);
        trace.Take(500, 100_000, At(0), Exposing);
        trace.Take(500, 100_000, At(10), Exposing);
        Assert.Equal((1, 1), (trace.ToEstimate().Stalls, trace.ToEstimate().Blocks));
    }

    /// <summary>A stall with the beam off on either side costs time alone; markers change nothing.</summary>
    [Theory]
    [InlineData(true, true, true, 1)]
    [InlineData(false, true, true, 0)]
    [InlineData(true, false, true, 0)]
    [InlineData(true, null, true, 1)]
    [InlineData(false, null, true, 0)]
    [InlineData(null, true, true, 0)]
    public void Stalls_amid_exposure_have_the_beam_on_before_and_after(bool? before, bool? after, bool end, int amid)
    {
        LinkTrace trace = Trace(Block);
        trace.Take(500, 100, At(0), new BlockBeam(before, before));
        trace.Take(500, 100, At(10), new BlockBeam(after, end));
        LinkEstimate found = trace.ToEstimate();
        Assert.Equal((1, amid), (found.Stalls, found.StallsAmidExposure));
        Assert.Equal(amid * 500e-6, found.StallSecondsAmidExposure, Nothing);
        Assert.Equal(amid > 0 ? found.FirstStall : null, found.FirstStallAmidExposure);
    }

    /// <summary>Blocks of 1 ms that travel for half of it: two rooms are enough. At 0.4 ms they need a link 1.25 times as fast, of those tried 1.5 times.</summary>
    [Fact]
    public void The_needed_buffer_and_rate_are_the_least_that_were_tried()
    {
        LinkTrace enough = Trace(8 * Block);
        LinkTrace slow = Trace(8 * Block);
        for (int i = 0; i < 20_000; i++)
        {
            enough.Take(500, 10_000, At(i), Exposing);
            slow.Take(500, 4000, At(i), Exposing);
        }

        Assert.Equal((2L, 1e6), (enough.ToEstimate().NeededBlocks!.Value, enough.ToEstimate().NeededBytesPerSecond!.Value));
        Assert.Null(slow.ToEstimate().NeededBlocks);
        Assert.Equal(1.5e6, slow.ToEstimate().NeededBytesPerSecond!.Value, 1e-6);
    }

    [Fact]
    public void A_new_stream_finds_all_rooms_free()
    {
        var trace = new LinkTrace(new Link(1e6, Block, true) { LatencySeconds = 1 }, 10e6);
        trace.Take(500, 100, At(0), Exposing);
        trace.BeginStream();
        trace.Take(500, 100, At(10), Exposing);
        Assert.Equal(0, trace.ToEstimate().Stalls);
    }

    [Fact]
    public void Without_records_there_is_no_rate() => Assert.Equal(0, Trace(1000).ToEstimate().MeanBytesPerSecond);

    private static LinkTrace Trace(long buffer) => new(new Link(1e6, buffer, true), 10e6);

    private static BlockBeam Exposing => new(true, true);

    private static BlockStart At(long record) => new(record, 1, 2, 3);

    private static void AssertPlace(StallPlace expected, StallPlace? found)
    {
        Assert.NotNull(found);
        Assert.Equal(expected.Seconds, found.Seconds, Nothing);
        Assert.Equal(expected, found with { Seconds = expected.Seconds });
    }
}
