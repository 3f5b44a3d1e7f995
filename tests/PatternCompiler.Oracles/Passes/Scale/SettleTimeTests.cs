using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Oracles.Passes.Scale;

public sealed class SettleTimeTests
{
    // Single pole, full-scale step to one LSB: N·ln 2 time constants, as tabulated in Analog Engineer's Pocket
    // Reference, SLYW038D (its entry for 16 bits does not follow its own formula and is left out). To half an LSB it is
    // the value for one bit more.
    [Theory]
    [InlineData(8, 5.5)]
    [InlineData(10, 6.93)]
    [InlineData(12, 8.32)]
    [InlineData(13, 9.01)]
    [InlineData(14, 9.70)]
    [InlineData(17, 11.78)]
    public void Time_constants_to_settle_to_one_code(int bits, double timeConstants)
    {
        Assert.Equal(timeConstants, SettleTime.Seconds(1L << bits, 1, 1, 0), 0.05);
        Assert.Equal(timeConstants, SettleTime.Seconds(1L << (bits - 1), 0.5, 1, 0), 0.05);
    }

    // 20 V at 20 V/µs, τ = 0.1 µs, to 152.588 µV: 0.900 + 0.948 µs, worked by hand from the joined slew and exponential.
    [Fact]
    public void Slewing_comes_before_the_exponential() =>
        Assert.Equal(1.848, SettleTime.Seconds(20, 152.588e-6, 0.1, 20), 0.0005);

    // The closed form against the response itself, integrated in small steps.
    [Theory]
    [InlineData(20, 0.01, 0.1, 20)]
    [InlineData(1, 0.01, 0.1, 20)]
    [InlineData(5, 0.001, 0.3, 2)]
    public void The_closed_form_is_the_response(double jump, double tolerance, double tau, double slew)
    {
        const double Step = 1e-6;
        double left = jump;
        double time = 0;
        while (left > tolerance)
        {
            left -= Math.Min(slew, left / tau) * Step;
            time += Step;
        }

        Assert.Equal(time, SettleTime.Seconds(jump, tolerance, tau, slew), 1e-4 * time);
    }
}
