using PatternCompiler.Model;

namespace PatternCompiler.Tests.Model;

public sealed class HandingOnTests
{
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(511)]
    [InlineData(512)]
    [InlineData(513)]
    [InlineData(100_000)]
    public void The_sink_meets_every_item_once_in_order_between_begin_and_end(int count)
    {
        var sink = new Noting();
        string returned = HandingOn<string, int>.Run(sink, next =>
        {
            next.Begin("head");
            for (int i = 0; i < count;)
            {
                int[] part = [.. Enumerable.Range(i, Math.Min(count - i, 1 + (i * 7 % 3000)))];
                next.Write(part);
                i += part.Length;
            }

            next.End();
            return "made";
        });
        Assert.Equal("made", returned);
        Assert.Equal("head", sink.Header);
        Assert.Equal(Enumerable.Range(0, count), sink.Items);
        Assert.True(sink.HasEnded);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1500)]
    [InlineData(4999)]
    public void The_sinks_fault_is_thrown_before_one_of_the_maker_that_comes_later(int faulty)
    {
        var sink = new Noting { Faulty = faulty };
        Exception thrown = Assert.Throws<FormatException>(() => Make(sink, 5000, () => throw new InvalidOperationException("maker")));
        Assert.Equal($"item {faulty}", thrown.Message);
        Assert.Equal(Enumerable.Range(0, faulty), sink.Items);
        Assert.False(sink.HasEnded);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1500)]
    [InlineData(5000)]
    public void The_makers_fault_comes_when_the_sink_has_taken_all_before_it(int count)
    {
        var sink = new Noting();
        Assert.Equal("maker", Assert.Throws<InvalidOperationException>(() => Make(sink, count, () => throw new InvalidOperationException("maker"))).Message);
        Assert.Equal(Enumerable.Range(0, count), sink.Items);
        Assert.False(sink.HasEnded);
    }

    [Fact]
    public void A_fault_of_the_sinks_end_comes_through()
    {
        var sink = new Noting { FailsAtEnd = true };
        Assert.Equal("end", Assert.Throws<FormatException>(() => Make(sink, 3000, () => { })).Message);
        Assert.Equal(3000, sink.Items.Count);
    }

    [Fact]
    public void When_cancelled_nothing_is_being_written_any_more()
    {
        var sink = new Noting { Delay = TimeSpan.FromMilliseconds(20) };
        Assert.Throws<OperationCanceledException>(() => Make(sink, 513, () => throw new OperationCanceledException()));
        Assert.False(sink.IsWriting);
        Assert.Equal(512, sink.Items.Count);
        Assert.False(sink.HasEnded);
    }

    private static void Make(Noting sink, int count, Action then) => HandingOn<string, int>.Run(sink, next =>
    {
        next.Begin("head");
        next.Write([.. Enumerable.Range(0, count)]);
        then();
        next.End();
        return 0;
    });

    private sealed class Noting : IDocumentSink<string, int>
    {
        public string? Header { get; private set; }

        public List<int> Items { get; } = [];

        public bool HasEnded { get; private set; }

        public int? Faulty { get; init; }

        public bool FailsAtEnd { get; init; }

        public TimeSpan Delay { get; init; }

        public bool IsWriting { get; private set; }

        public void Begin(string header) => Header = header;

        public void Write(ReadOnlySpan<int> items)
        {
            IsWriting = true;
            Thread.Sleep(Delay);
            foreach (int item in items)
            {
                Items.Add(item != Faulty ? item : throw new FormatException($"item {item}"));
            }

            IsWriting = false;
        }

        public void End() => HasEnded = FailsAtEnd ? throw new FormatException("end") : true;
    }
}
