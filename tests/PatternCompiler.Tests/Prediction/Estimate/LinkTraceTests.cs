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
        trace.Take(500, 100_000, At(0));
        trace.Take(526, 100_000, At(10));
        trace.Take(400, 100_000, At(20));
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
        trace.Take(500, 5260, At(0));
        trace.Take(526, 5260, At(10)); // comes in 526 us, just as the first is done
        trace.Take(526, 5259, At(20));
        Assert.Equal(0, trace.ToEstimate().Stalls);
        trace.Take(526, 1, At(30)); // the block before is a tick too short
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
        trace.Take(500, 50_000, At(0));
        trace.Take(500, 1000, At(10)); // to 5100 us
        trace.Take(500, 1000, At(20)); // to 5200 us
        trace.Take(500, 1000, At(30)); // comes at 5500 us
        trace.Take(500, 1000, At(40)); // sent at 5500 us, comes at 6000 us, 400 us after the one before is done
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
        trace.Take(500, 10, At(0));
        trace.Take(500, 10, At(1));
        trace.Take(500, 10, At(2));
        LinkEstimate found = trace.ToEstimate();
        Assert.Equal((2, 1, 1), (found.Stalls, found.FirstStall!.Record, found.WorstStall!.Record));
    }

    [Fact]
    public void Writing_starts_with_the_first_block_and_not_with_a_full_buffer()
    {
        LinkTrace trace = Trace(1 << 20);
        trace.Take(526, 1000, At(0));
        trace.Take(526, 1000, At(51));
        Assert.Equal(426e-6, trace.ToEstimate().StallSeconds, Nothing);
    }

    [Fact]
    public void Between_streams_nothing_travels_and_nothing_stalls()
    {
        LinkTrace trace = Trace(1 << 20);
        trace.Take(526, 1_000_000, At(0));
        trace.BeginStream();
        trace.Take(526, 1000, At(51));
        Assert.Equal(0, trace.ToEstimate().Stalls);
        trace.Take(526, 1000, At(102));
        Assert.Equal(426e-6, trace.ToEstimate().StallSeconds, Nothing);
    }

    [Fact]
    public void The_busiest_stretch_is_as_many_blocks_as_the_buffer_holds()
    {
        LinkTrace trace = Trace(2 * Block);
        trace.Take(500, 10_000, At(0));
        Assert.Equal(0, trace.ToEstimate().BusiestBytesPerSecond);
        trace.Take(500, 20_000, At(0));
        trace.Take(400, 10_000, At(0));
        trace.Take(500, 30_000, At(0));
        Assert.Equal(1000 / 3e-3, trace.ToEstimate().BusiestBytesPerSecond, 1e-6);
    }

    [Fact]
    public void Without_records_there_is_no_rate() => Assert.Equal(0, Trace(1000).ToEstimate().MeanBytesPerSecond);

    private static LinkTrace Trace(long buffer) => new(new Link(1e6, buffer, true), 10e6);

    private static BlockStart At(long record) => new(record, 1, 2, 3);

    private static void AssertPlace(StallPlace expected, StallPlace? found)
    {
        Assert.NotNull(found);
        Assert.Equal(expected.Seconds, found.Seconds, Nothing);
        Assert.Equal(expected, found with { Seconds = expected.Seconds });
    }
}
