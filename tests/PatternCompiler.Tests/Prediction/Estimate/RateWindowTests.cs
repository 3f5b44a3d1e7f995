using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Tests.Prediction.Estimate;

/// <summary>The busiest stretch by trying all: short stretches block by block, long ones in at most 64 equal steps.</summary>
public sealed class RateWindowTests
{
    [Theory]
    [InlineData(1, 1)]
    [InlineData(2, 1)]
    [InlineData(63, 1)]
    [InlineData(64, 1)]
    [InlineData(65, 2)]
    [InlineData(128, 2)]
    [InlineData(129, 3)]
    [InlineData(1000, 16)]
    public void No_stretch_is_busier(int blocks, int step)
    {
        (int Bytes, long Ticks)[] all = [.. Enumerable.Range(0, 3001).Select(i => (100 + i * 7919 % 400, 1000L + (long)i * i % 1009))];
        var window = new RateWindow(blocks);
        int length = blocks / step * step;
        double busiest = 0;
        for (int end = 1; end <= all.Length; end++)
        {
            window.Take(all[end - 1].Bytes, all[end - 1].Ticks);
            if (end >= length && end % step == 0)
            {
                ArraySegment<(int Bytes, long Ticks)> stretch = all[(end - length)..end];
                busiest = Math.Max(busiest, stretch.Sum(block => block.Bytes) / (double)stretch.Sum(block => block.Ticks));
            }

            Assert.Equal(busiest, window.BusiestBytesPerTick);
        }
    }
}
