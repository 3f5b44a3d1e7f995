using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Passes.Scale;

/// <summary>
/// Way of a single pole behind a speed limit, by its two pieces: at v until the distance left is v·τ, then exponential. τ = 2 µs
/// and v = 100 nm/µs hand over at 200 nm.
/// </summary>
public sealed class SettleTimeTests
{
    private const double Tau = 2e-6;
    private const double Speed = 1e8;

    [Fact]
    public void A_long_jump_runs_at_the_limit_and_then_decays() => Assert.Equal(
        8e-6 + Tau * Math.Log(200 / 0.5), SettleTime.Seconds(1000, 0.5, Tau, Speed), 1e-15);

    [Theory]
    [InlineData(200)]
    [InlineData(100)]
    public void A_jump_below_the_limit_decays_all_the_way(double jump) => Assert.Equal(
        Tau * Math.Log(jump / 0.5), SettleTime.Seconds(jump, 0.5, Tau, Speed), 1e-15);

    [Fact]
    public void Where_the_hand_over_lies_within_the_tolerance_the_beam_only_runs() => Assert.Equal(
        (1000 - 250) / Speed, SettleTime.Seconds(1000, 250, Tau, Speed), 1e-15);

    [Theory]
    [InlineData(0)]
    [InlineData(0.5)]
    public void Within_the_tolerance_nothing_is_waited_for(double jump) => Assert.Equal(0, SettleTime.Seconds(jump, 0.5, Tau, Speed));
}
