using CsCheck;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Instrument;

public class AxisResponseTests
{
    [Fact]
    public void The_distance_follows_its_differential_equation_and_the_mean_its_integral() =>
        Gen.Select(Gen.Double[-1000, 1000], Gen.Double[0.5, 5], Gen.Double[20, 400], Gen.Double[0.1, 12]).Sample((distance, tau, slew, end) =>
        {
            // Microseconds and nanometres per microsecond; v = min(slew, |d|/τ) towards the goal.
            var response = new AxisResponse(tau * 1e-6, slew * 1e6);
            const int Steps = 40_000;
            double d = distance;
            double sum = 0;
            double dt = end / Steps;
            for (int i = 0; i < Steps; i++)
            {
                double middle = d - Math.CopySign(Math.Min(slew, Math.Abs(d) / tau) * dt / 2, d);
                sum += middle * dt;
                d -= Math.CopySign(Math.Min(slew, Math.Abs(middle) / tau) * dt, d);
            }

            Assert.Equal(d, response.After(distance, end * 1e-6), 0.05);
            Assert.Equal(sum / end, response.Mean(distance, 0, end * 1e-6), 0.05);
        }, iter: Iterations.Usually(60));

    [Fact]
    public void Parts_of_a_stay_add_up_to_the_whole() =>
        Gen.Select(Gen.Double[-1000, 1000], Gen.Double[0, 5], Gen.Double[0, 400], Gen.Double[0.1, 6]).Sample((distance, tau, slew, end) =>
        {
            var response = new AxisResponse(tau, slew);
            double whole = response.Mean(distance, 0, end) * end;
            double parts = 0;
            for (int i = 0; i < 7; i++)
            {
                parts += response.Mean(distance, end * i / 7, end * (i + 1) / 7) * end / 7;
            }

            Assert.Equal(whole, parts, 1e-6);
        }, iter: Iterations.Usually(300));

    [Fact]
    public void Without_time_constant_and_limit_the_beam_is_there_at_once()
    {
        var ideal = new AxisResponse(0, 0);
        Assert.True(ideal.IsIdeal);
        Assert.Equal(0, ideal.After(500, 0.001));
        Assert.Equal(0, ideal.Mean(500, 0, 0.001));
    }
}
