using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
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
