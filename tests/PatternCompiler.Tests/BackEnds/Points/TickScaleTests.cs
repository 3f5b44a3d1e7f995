using PatternCompiler.BackEnds.Points;

namespace PatternCompiler.Tests.BackEnds.Points;

/// <summary>Ticks of 100 ns are 100 000 ps each, also after a day; a time between two ticks is none.</summary>
public sealed class TickScaleTests
{
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(864_000_000_000)]
    [InlineData(1_000_000_000_001)]
    public void Ticks_are_whole_times_and_come_back(long tick)
    {
        var scale = new TickScale(1e7);
        Assert.True(scale.TryPicoseconds(tick, out long picoseconds));
        Assert.Equal(tick * 100_000, picoseconds);
        Assert.True(scale.TryTick(tick * 100_000, out long back));
        Assert.Equal(tick, back);
        Assert.False(scale.TryTick((tick * 100_000) + 50_000, out _));
    }

    /// <summary>Ticks that are no whole picoseconds are rounded, up as well as down.</summary>
    [Theory]
    [InlineData(7)]
    [InlineData(14_318_180)]
    [InlineData(75_000_000)]
    public void Other_ticks_are_the_nearest_times_and_come_back(long hertz)
    {
        var scale = new TickScale(hertz);
        for (long tick = 1; tick < 200; tick++)
        {
            Assert.True(scale.TryPicoseconds(tick, out long picoseconds));
            Assert.InRange(picoseconds * hertz - tick * 1_000_000_000_000, -hertz / 2, hertz / 2);
            Assert.True(scale.TryTick(picoseconds, out long back));
            Assert.Equal(tick, back);
        }
    }

    [Fact]
    public void A_time_beyond_64_bits_is_none()
    {
        Assert.False(new TickScale(1e7).TryPicoseconds(100_000_000_000_000, out _));

        // 2^63 ps is the first of them.
        Assert.False(new TickScale(1e12).TryPicoseconds(long.MaxValue, out _));
        Assert.False(new TickScale(0.5e12).TryPicoseconds(1L << 62, out _));
        Assert.True(new TickScale(0.5e12).TryPicoseconds((1L << 62) - 1024, out long last));
        Assert.InRange(last, long.MaxValue - 4096, long.MaxValue);
    }
}
