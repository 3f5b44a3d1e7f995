using PatternCompiler.Send;

namespace PatternCompiler.Tests.Send;

/// <summary>What is known of a receiver after each of its messages, counted by hand: three blocks of 5, 7 and 9 records that last 100, 30 and 4 ticks.</summary>
public sealed class ReceiverProgressTests
{
    private static ReceiverProgress Started()
    {
        var progress = new ReceiverProgress();
        Assert.False(progress.Take(Credit(2, 0, 0)));
        Assert.True(progress.Sending(new(5, 100, 100), isEnd: false));
        Assert.False(progress.Sending(new(7, 30, 30), isEnd: false));
        return progress;
    }

    [Fact]
    public void Blocks_pass_from_the_way_to_what_is_written()
    {
        ReceiverProgress progress = Started();
        AssertAt(progress, credit: 2, next: 2, sent: 12, written: 0, ticksWritten: 0, inFlight: 130);
        Assert.True(progress.Take(Credit(3, 0, 4)));
        AssertAt(progress, credit: 3, next: 2, sent: 12, written: 4, ticksWritten: 0, inFlight: 130);
        Assert.False(progress.Take(Credit(3, 0, 4)));
        Assert.True(progress.Take(Credit(4, 1, 2)));
        AssertAt(progress, credit: 4, next: 2, sent: 12, written: 7, ticksWritten: 100, inFlight: 30);
        Assert.False(progress.Sending(new(9, 4, 4), isEnd: true));
        AssertAt(progress, credit: 4, next: 3, sent: 21, written: 7, ticksWritten: 100, inFlight: 34);
        Assert.True(progress.Take(Credit(4, 2, 0)));
        AssertAt(progress, credit: 4, next: 3, sent: 21, written: 12, ticksWritten: 130, inFlight: 4);
        Assert.True(progress.Take(new LinkMessage('D', 0, false, 0, 3, 0)));
        Assert.True(progress.IsDone);
        AssertAt(progress, credit: 4, next: 3, sent: 21, written: 21, ticksWritten: 134, inFlight: 0);
        Assert.True(progress.Sending(new(1, 1, 1), isEnd: false));
    }

    /// <summary>What is written is exactly known at rest, or where nothing is on its way; not while there is doubt.</summary>
    [Fact]
    public void Progress_is_exact_at_rest()
    {
        ReceiverProgress progress = Started();
        Assert.False(progress.IsExact(Credit(2, 1, 3)));
        progress.Take(new LinkMessage('S', 0, false, 0, 1, 3));
        Assert.True(progress.IsExact(new LinkMessage('S', 0, false, 0, 1, 3)));
        Assert.False(progress.IsExact(Credit(2, 1, 3)));
        progress.Take(Credit(2, 2, 0));
        Assert.True(progress.IsExact(Credit(2, 2, 0)));
        progress.Take(Credit(2, 1, 0));
        Assert.False(progress.IsExact(new LinkMessage('S', 0, false, 0, 1, 3)));
    }

    [Theory]
    [InlineData('I', false, 2, 0, 0, "the receiver has started anew and knows nothing of the exposure")]
    [InlineData('C', false, 2, 0, 2, "the receiver takes back what it said was written")]
    [InlineData('C', false, 2, -1, 9, "the receiver takes back what it said was written")]
    [InlineData('C', false, 2, 3, 0, "the receiver says that it has written more than it was sent")]
    [InlineData('C', false, 2, 2, 1, "the receiver says that it has written more than it was sent")]
    [InlineData('C', false, 2, 0, 6, "the receiver says that it has written more than it was sent")]
    [InlineData('C', false, 2, 1, 8, "the receiver says that it has written more than it was sent")]
    [InlineData('C', true, 2, 0, 3, "the receiver goes on behind a record that it cut short")]
    [InlineData('C', false, 1, 0, 3, "the receiver takes back credit")]
    [InlineData('D', false, 0, 2, 0, "the receiver says that it is done before the end")]
    [InlineData('F', true, 0, 2, 0, "the receiver says that it cut a record short that it was not sent")]
    [InlineData('F', true, 0, 1, 7, "the receiver says that it cut a record short that it was not sent")]
    [InlineData('F', true, 0, 1, 6, null)]
    [InlineData('C', false, 2, 0, 3, null)]
    [InlineData('C', false, 2, 0, 5, null)]
    [InlineData('C', false, 2, 1, 7, null)]
    [InlineData('C', false, 2, 2, 0, null)]
    [InlineData('S', true, 0, 0, 3, null)]
    public void What_contradicts_what_was_said_or_sent_is_not_believed(char kind, bool wasCut, uint credit, int blocks, int records, string? doubt)
    {
        ReceiverProgress progress = Started();
        progress.Take(Credit(2, 0, 3));
        long before = progress.RecordsWritten;
        progress.Take(new LinkMessage(kind, 0, wasCut, credit, (uint)blocks, records));
        Assert.Equal(doubt, progress.Doubt);
        Assert.Equal(wasCut && (doubt is null || doubt.Contains("that it was not sent", StringComparison.Ordinal)), progress.IsCut);
        if (doubt is not null && !doubt.Contains("cut a record short that", StringComparison.Ordinal))
        {
            Assert.Equal(before, progress.RecordsWritten);
        }

        // Once in doubt nothing is taken over any more.
        if (doubt is not null)
        {
            Assert.False(progress.Take(Credit(9, 1, 0)));
            Assert.Equal(2u, progress.Credit);
        }
    }

    /// <summary>The end block may be counted or not; records behind it, a cut and blocks that are missing say that it is not done.</summary>
    [Theory]
    [InlineData(false, 3, 0, null)]
    [InlineData(false, 2, 0, null)]
    [InlineData(false, 1, 0, "the receiver says that it is done before the end")]
    [InlineData(false, 2, 1, "the receiver says that it is done before the end")]
    [InlineData(true, 3, 0, "the receiver says that it is done before the end")]
    public void It_is_done_when_all_but_the_end_is_written(bool wasCut, uint blocks, int records, string? doubt)
    {
        ReceiverProgress progress = Started();
        progress.Sending(new(9, 4, 4), isEnd: true);
        progress.Take(new LinkMessage('D', 0, wasCut, 0, blocks, records));
        Assert.Equal((doubt, doubt is null), (progress.Doubt, progress.IsDone));
    }

    private static LinkMessage Credit(uint credit, uint blocks, int records) => new('C', 0, false, credit, blocks, records);

    private static void AssertAt(ReceiverProgress progress, uint credit, uint next, long sent, long written, long ticksWritten, long inFlight) => Assert.Equal(
        (credit, next, sent, written, ticksWritten, inFlight, (string?)null),
        (progress.Credit, progress.NextBlock, progress.RecordsSent, progress.RecordsWritten, progress.TicksWritten, progress.LongestTicksInFlight, progress.Doubt));
}
