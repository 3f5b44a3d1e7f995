using PatternCompiler.Pictures;

namespace PatternCompiler.Tests.Pictures;

public class AxisTicksTests
{
    [Theory]
    [InlineData(-50_000, 50_000, 9_000, 10_000, -5, 5, "-50", "0", "10")]
    [InlineData(0, 1000, 150, 200, 0, 5, "0.0", "0", "0.2")]
    [InlineData(12_340, 12_390, 7, 10, 1234, 1239, "12.34", "0", "0.01")]
    [InlineData(0.2, 4.9, 0.4, 0.5, 1, 9, "0.0005", "0", "0.0005")]
    [InlineData(-3e6, 3e6, 1e6, 1e6, -3, 3, "-3000", "0", "1000")]
    public void Steps_are_round_and_labels_have_the_decimals_they_need(
        double from, double to, double spacing, double step, long first, long last, string firstLabel, string zero, string one)
    {
        AxisTicks ticks = AxisTicks.Choose(from, to, spacing);
        Assert.Equal(step, ticks.StepNanometres, 1e-12);
        Assert.Equal((first, last), (ticks.First, ticks.Last));
        Assert.Equal(zero, ticks.Label(0));
        Assert.Equal(one, ticks.Label(1));
        Assert.Equal(first == 0 ? "0" : firstLabel, ticks.Label(first));
    }

    [Theory]
    [InlineData(164, 100)]
    [InlineData(200, 200)]
    [InlineData(499, 200)]
    [InlineData(5, 5)]
    [InlineData(0.09, 0.05)]
    public void Scale_bars_have_round_lengths(double limit, double expected) =>
        Assert.Equal(expected, AxisTicks.RoundLengthUpTo(limit), 1e-12);
}
