using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;

namespace PatternCompiler.Tests.Model;

public class ConcurrentSinkTests
{
    [Theory]
    [InlineData(0, 1)]
    [InlineData(4095, 1000)]
    [InlineData(4096, 4096)]
    [InlineData(4097, 4097)]
    [InlineData(50_000, 777)]
    [InlineData(50_000, 13_001)]
    public void Items_come_in_order_once_and_the_end_after_them(int count, int batch)
    {
        var target = new Target();
        var sink = new ConcurrentSink<string, int>(target);
        sink.Begin("a");
        foreach (int[] items in Enumerable.Range(0, count).Chunk(batch))
        {
            sink.Write(items);
        }

        sink.End();
        Assert.Equal(Enumerable.Range(0, count), target.Items);
        Assert.Equal(["begin a", "end"], target.Events);
        Assert.False(target.WasEnteredTwice);
    }

    [Fact]
    public void What_was_written_is_there_after_draining_and_more_may_follow()
    {
        var target = new Target();
        var sink = new ConcurrentSink<string, int>(target);
        sink.Begin("a");
        sink.Write([1, 2, 3]);
        sink.Drain();
        Assert.Equal([1, 2, 3], target.Items);
        sink.Drain();
        sink.Write([4]);
        sink.Begin("b");
        Assert.Equal([1, 2, 3, 4], target.Items);
        Assert.Equal(["begin a", "begin b"], target.Events);
    }

    /// <summary>The span that a writer passes on is its own again at once.</summary>
    [Fact]
    public void Items_are_those_of_the_moment_of_writing()
    {
        var target = new Target();
        var sink = new ConcurrentSink<string, int>(target);
        sink.Begin("a");
        var items = new int[1000];
        for (int i = 0; i < 20; i++)
        {
            Array.Fill(items, i);
            sink.Write(items);
        }

        sink.End();
        Assert.Equal(Enumerable.Range(0, 20_000).Select(k => k / 1000), target.Items);
    }

    [Fact]
    public void What_the_sink_throws_is_thrown_as_it_is_by_the_next_call()
    {
        var sink = new ConcurrentSink<string, int>(new Target { FailsAt = 5000 });
        sink.Begin("a");
        var fault = Assert.Throws<CompileException>(() =>
        {
            foreach (int[] items in Enumerable.Range(0, 20_000).Chunk(1000))
            {
                sink.Write(items);
            }

            sink.End();
        });
        Assert.Contains("item 5000", fault.Message, StringComparison.Ordinal);
    }

    private sealed class Target : IDocumentSink<string, int>
    {
        private int inside;

        public List<int> Items { get; } = [];

        public List<string> Events { get; } = [];

        public bool WasEnteredTwice { get; private set; }

        public int FailsAt { get; init; } = -1;

        public void Begin(string header) => Events.Add($"begin {header}");

        public void Write(ReadOnlySpan<int> items)
        {
            WasEnteredTwice |= Interlocked.Increment(ref inside) != 1;
            foreach (int item in items)
            {
                if (item == FailsAt)
                {
                    throw new CompileException(JobCodes.CannotRead, $"item {item}");
                }

                Items.Add(item);
            }

            Interlocked.Decrement(ref inside);
        }

        public void End() => Events.Add("end");
    }
}
