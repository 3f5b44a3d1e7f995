using PatternCompiler.Instrument;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Tests.Prediction.Estimate;

/// <summary>A link of 1 MB/s and a buffer of 1000 bytes, followed by hand.</summary>
public sealed class LinkTraceTests
{
    private const double Nothing = 1e-12;

    [Fact]
    public void Stalls_are_parted_where_the_buffer_fills_again()
    {
        var trace = new LinkTrace(new Link(1e6, 1000, true));
        trace.Take(200, 1e-3, 0, 5, (1, 2));
        trace.Take(1500, 1e-4, 1, 5, (3, 4)); // 1000 + 100 - 1500: 400 bytes are waited for
        trace.Take(300, 1e-4, 2, 5, (5, 6)); // 200 more, still the same stall
        trace.Take(10, 0, 3, 6, (5, 6)); // and 10 more
        trace.Take(100, 1e-3, 4, 6, (7, 8)); // 900 in the buffer
        trace.Take(2000, 1e-4, 5, 7, (9, -10)); // 1000 are waited for
        LinkEstimate found = trace.ToEstimate();
        Assert.Equal(2, found.Stalls);
        Assert.Equal(1.61e-3, found.StallSeconds, Nothing);
        Assert.Equal(1e-3, found.LongestStallSeconds, Nothing);
        AssertPlace(new StallPlace(1, 5, 3, 4, 1e-3), found.FirstStall);

        // 2.2 ms of records and 0.61 ms of waiting before it.
        AssertPlace(new StallPlace(5, 7, 9, -10, 2.81e-3), found.WorstStall);
        Assert.Equal(4110 / 2.3e-3, found.MeanBytesPerSecond, 1e-3);
    }

    [Fact]
    public void The_first_stall_stays_the_worst_where_none_is_longer()
    {
        var trace = new LinkTrace(new Link(1e6, 1000, true));
        trace.Take(1500, 0, 0, 0, (0, 0));
        trace.Take(500, 1e-3, 1, 0, (0, 0));
        trace.Take(1000, 0, 2, 0, (0, 0));
        LinkEstimate found = trace.ToEstimate();
        Assert.Equal((2, 0, 0), (found.Stalls, found.FirstStall!.Record, found.WorstStall!.Record));
    }

    [Fact]
    public void The_buffer_takes_no_more_than_it_holds()
    {
        var trace = new LinkTrace(new Link(1e6, 1000, true));
        trace.Take(0, 10, 0, -1, (0, 0));
        trace.Take(1500, 0, 1, -1, (0, 0));
        Assert.Equal(500e-6, trace.ToEstimate().StallSeconds, Nothing);
    }

    [Fact]
    public void A_buffer_used_up_to_its_last_byte_does_not_stall()
    {
        var trace = new LinkTrace(new Link(1e6, 1000, true));
        trace.Take(1000, 0, 0, -1, (0, 0));
        Assert.Equal((0, null), (trace.ToEstimate().Stalls, trace.ToEstimate().FirstStall));
        trace.Take(2, 1e-6, 1, -1, (0, 0));
        Assert.Equal(1e-6, trace.ToEstimate().StallSeconds, Nothing);
        Assert.Equal(1, trace.ToEstimate().Stalls);
    }

    [Fact]
    public void Without_records_there_is_no_rate() => Assert.Equal(0, new LinkTrace(new Link(1e6, 1000, true)).ToEstimate().MeanBytesPerSecond);

    private static void AssertPlace(StallPlace expected, StallPlace? found)
    {
        Assert.NotNull(found);
        Assert.Equal(expected.Seconds, found.Seconds, Nothing);
        Assert.Equal(expected, found with { Seconds = expected.Seconds });
    }
}
