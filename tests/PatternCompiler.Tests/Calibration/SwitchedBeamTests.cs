using CsCheck;
using PatternCompiler.Calibration.BlankerCurrent;

namespace PatternCompiler.Tests.Calibration;

public sealed class SwitchedBeamTests
{
    // In halves of a unit, so that sums of them and of whole periods are exact.
    private static readonly Gen<double> Time = Gen.Int[0, 40].Select(halves => halves / 2.0);

    [Fact]
    public void Both_delays_longer_by_whole_periods_change_nothing() =>
        Gen.Select(Gen.Select(Gen.Int[1, 40], Gen.Int[1, 40]), Gen.Select(Time, Time), Gen.Select(Time, Time), Gen.Long[-(1L << 40), 1L << 40]).Sample(
            (line, delays, constants, periods) =>
            {
                double later = (double)periods * (line.Item1 + line.Item2);
                var beam = new SwitchedBeam(line.Item1, line.Item2, delays.Item1, delays.Item2, constants.Item1, constants.Item2);
                var late = new SwitchedBeam(line.Item1, line.Item2, delays.Item1 + later, delays.Item2 + later, constants.Item1, constants.Item2);
                Assert.Equal(beam.Mean, late.Mean, 12);
                Assert.Equal(beam.MeanWhileOn, late.MeanWhileOn, 12);
                Assert.Equal(beam.MeanWhileOff, late.MeanWhileOff, 12);
            },
            iter: Iterations.Usually(300));

    // A search may ask for any delay; a period is lost beside these in rounding.
    [Theory]
    [InlineData(1e17, 1e17)]
    [InlineData(-1e17, 1e17)]
    [InlineData(1e300, 0)]
    [InlineData(0, 1e300)]
    [InlineData(double.PositiveInfinity, 0)]
    public void The_farthest_delays_have_an_answer_at_once(double onDelay, double offDelay)
    {
        var beam = new SwitchedBeam(0.5, 2, onDelay, offDelay, 0.1, 0.2);
        Assert.False(beam.Mean is < -1e-9 or > 1 + 1e-9);
        Assert.False(beam.MeanWhileOn + beam.MeanWhileOff is < -1e-9 or > 1 + 1e-9);
    }
}
