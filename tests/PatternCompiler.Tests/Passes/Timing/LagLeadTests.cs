using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Timing;
using PatternCompiler.Tests.Passes.Scale;

namespace PatternCompiler.Tests.Passes.Timing;

/// <summary>
/// The response of a single pole to the records, integrated exactly dwell by dwell. Closed forms (elementary): a ramp is
/// followed v·τ behind; at the end of a dwell of a staircase with step d the beam is d·q/(1 − q) short, q = exp(−T/τ).
/// </summary>
public sealed class LagLeadTests
{
    private const int Points = 400;
    private const double Dwell = 1e-6;

    [Theory]
    [InlineData(0.5e-6)]
    [InlineData(2e-6)]
    [InlineData(10e-6)]
    public void Lines_lag_by_speed_times_time_constant_and_do_not_when_sent_ahead(double tau)
    {
        double lag = MeanLag(tau, cancels: false, out double short1);
        double q = Math.Exp(-Dwell / tau);
        Assert.Equal(10 * tau / Dwell, lag, 0.02 * lag + 0.5);
        Assert.Equal(10 * q / (1 - q), short1, 1.0);
        Assert.InRange(Math.Abs(MeanLag(tau, cancels: true, out _)), 0, 0.6);
    }

    // The lead is the speed times τ: a step of (3, -7) pm in 1 µs, for 2 µs. Two points make one step.
    [Fact]
    public void Two_points_are_sent_ahead_by_their_one_step_in_both_axes() => Assert.Equal(
        Stroke.Line(4, 1000 + 6000, 500 - 14_000, 4000 + 6000, -6500 - 14_000, 2, 80),
        LagLead.Apply(Stroke.Line(4, 1000, 500, 4000, -6500, 2, 80), 77, 88, 2e-6, 2e-6));

    [Fact]
    public void A_single_point_is_sent_ahead_by_the_step_to_it() => Assert.Equal(
        Stroke.Dot(0, 500 + 1200, -700 - 3000, 80), LagLead.Apply(Stroke.Dot(0, 500, -700, 80), 100, 300, 1e-6, 3e-6));

    [Fact]
    public void Without_time_there_is_no_lead() => Assert.Equal(Stroke.Dot(0, 500, -700, 0), LagLead.Apply(Stroke.Dot(0, 500, -700, 0), 100, 300, 0, 3e-6));

    /// <summary>10 nm a microsecond upward and a lag of 0.5 µs: 5 nm, whether a point stands alone or in a line; none after a jump.</summary>
    [Fact]
    public void The_step_counts_from_the_wanted_place_of_the_point_before()
    {
        const long tenTicks = 10 * ScaleCase.TickCharge;
        List<DeflectionRecord> records = ScaleCase.Scale(
            ScaleCase.Options with { Settle = new SettleModel(1e-3, 0.5e-6, 0) { CancelsLag = true } },
            Stroke.Jump(0, 0, 0),
            Stroke.Dot(0, 0, 0, tenTicks),
            Stroke.Dot(0, 0, 10_000_000, tenTicks),
            Stroke.Line(0, 0, 20_000_000, 0, 40_000_000, 3, 3 * tenTicks),
            Stroke.Dot(0, 0, 50_000_000, tenTicks),
            Stroke.Jump(0, 0, -100_000_000),
            Stroke.Dot(0, 0, -100_000_000, tenTicks));
        Assert.Equal([0, 0, 15, 25, 55, -100, -100], records.Select(r => r.Y - 32768));
        Assert.Equal((45, 3), (records[3].EndY - 32768, records[3].Points));
        Assert.All(records, r => Assert.Equal((32768, 32768), (r.X, r.EndX)));
    }

    /// <summary>Mean distance in codes (1 nm) of the beam behind the wanted points, over the second half of a line of 10 nm steps.</summary>
    private static double MeanLag(double tau, bool cancels, out double shortAtEnd)
    {
        List<DeflectionRecord> records = ScaleCase.Scale(
            ScaleCase.Options with { Settle = new SettleModel(1e-3, tau, 0) { CancelsLag = cancels } },
            Stroke.Jump(0, 0, 0),
            Stroke.Line(0, 0, 0, (Points - 1) * 10_000_000L, 0, Points, Points * 10 * ScaleCase.TickCharge));
        double at = records[0].X;
        double sum = 0;
        int count = 0;
        shortAtEnd = 0;
        for (int i = 0; i < Points; i++)
        {
            int sent = LinePoints.At(records[1], i).X;
            double decay = Math.Exp(-Dwell / tau);
            double mean = sent + (at - sent) * tau / Dwell * (1 - decay);
            at = sent + (at - sent) * decay;
            if (i >= Points / 2)
            {
                sum += 32768 + 10 * i - mean;
                count++;
                shortAtEnd = sent - at;
            }
        }

        return sum / count;
    }
}
