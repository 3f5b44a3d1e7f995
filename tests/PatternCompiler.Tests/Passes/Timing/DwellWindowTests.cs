using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Timing;

namespace PatternCompiler.Tests.Passes.Timing;

/// <summary>Ticks that a figure has got too few or too many go to its own records, and to nobody else's.</summary>
public sealed class DwellWindowTests
{
    [Theory]
    [InlineData(1, 5, 100, "10 25 30 40")]
    [InlineData(2, 5, 100, "10 20 30 45")]
    [InlineData(1, 5, 22, "15 20 30 40")]
    [InlineData(1, 5, 14, null)]
    [InlineData(3, 5, 100, null)]
    public void The_last_record_of_the_figure_that_can_takes_what_is_missing(long figure, long ticks, long longestDwell, string? expected)
    {
        (DwellWindow window, CollectingSink<RecordsHeader, DeflectionRecord> written) = Filled();
        Assert.Equal(expected is not null, window.TryAdd(figure, ticks, longestDwell));
        Assert.Equal(100 + (expected is null ? 0 : ticks), window.ElapsedTicks);
        window.Flush();
        Assert.Equal(expected ?? "10 20 30 40", string.Join(' ', written.Items.Select(record => record.Ticks)));
    }

    /// <summary>A line counts as many dwells as it has points.</summary>
    [Fact]
    public void A_line_takes_as_much_for_every_point()
    {
        var written = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var window = new DwellWindow(written);
        window.Push(DeflectionRecord.Line(0, 0, 9, 0, 10, 100), 1, 0);
        Assert.False(window.TryAdd(1, 21, 12));
        Assert.True(window.TryAdd(1, 20, 12));
    }

    private static (DwellWindow Window, CollectingSink<RecordsHeader, DeflectionRecord> Written) Filled()
    {
        var written = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var window = new DwellWindow(written);
        window.Push(DeflectionRecord.Dot(0, 0, 10), 1, 0);
        window.Push(DeflectionRecord.Dot(1, 0, 20), 1, 0);
        window.Push(DeflectionRecord.Dot(2, 0, 30), DwellWindow.Fixed, 0);
        window.Push(DeflectionRecord.Dot(3, 0, 40), 2, 0);
        return (window, written);
    }
}
