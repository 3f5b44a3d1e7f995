using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Calibration;

public class ContrastFitterTests
{
    private static readonly double[] Doses = [40, 60, 80, 90, 100, 110, 120, 140, 170, 200];

    // Onset 80 and clearing 120 µC/cm² give γ = 1/log10(1.5) = 5.67887 by definition.
    [Fact]
    public void A_noiseless_positive_curve_gives_back_its_parameters()
    {
        double[] thickness = [.. Doses.Select(d => 300 * Math.Clamp(1 - Math.Log10(d / 80) / Math.Log10(1.5), 0, 1))];
        ContrastFit fit = ContrastFitter.Fit(Doses, thickness, 300, ResistTone.Positive, new DiagnosticSink());
        Assert.Equal(80, fit.Onset.Value, 9);
        Assert.Equal(120, fit.Clearing.Value, 9);
        Assert.Equal(5.67887, fit.Contrast.Value, 5);
        Assert.Equal(0, fit.RootMeanSquareResidual, 12);
        Assert.All(Doses.Zip(thickness), p => Assert.Equal(p.Second, 300 * fit.RemainingFraction(p.First), 9));
    }

    [Fact]
    public void A_noiseless_negative_curve_gives_back_its_parameters()
    {
        double[] thickness = [.. Doses.Select(d => 100 * Math.Clamp(Math.Log10(d / 70) / Math.Log10(2), 0, 1))];
        ContrastFit fit = ContrastFitter.Fit(Doses, thickness, 100, ResistTone.Negative, new DiagnosticSink());
        Assert.Equal(70, fit.Onset.Value, 9);
        Assert.Equal(140, fit.Clearing.Value, 9);
        Assert.Equal(3.32193, fit.Contrast.Value, 5);
    }

    [Fact]
    public void The_order_of_measurements_does_not_matter()
    {
        double[] thickness = [.. Doses.Select((d, i) => 300 * Math.Clamp(1 - Math.Log10(d / 80) / Math.Log10(1.5), 0, 1) + i % 3)];
        ContrastFit forward = ContrastFitter.Fit(Doses, thickness, 302, ResistTone.Positive, new DiagnosticSink());
        ContrastFit backward = ContrastFitter.Fit(
            [.. Doses.Reverse()], [.. thickness.Reverse()], 302, ResistTone.Positive, new DiagnosticSink());
        Assert.Equal(forward, backward);
    }

    // 95% intervals should hold the truth in 95 of 100 repetitions; with 400 seeded repetitions the count stays
    // within 4 binomial standard deviations (4.4) of 380. Plateaus are left out so that no selection is at work.
    [Fact]
    public void Confidence_intervals_hold_the_truth_as_often_as_they_promise()
    {
        double[] doses = [84, 88, 92, 96, 100, 104, 108, 112, 116];
        var random = new Random(7);
        int held = 0;
        for (int repetition = 0; repetition < 400; repetition++)
        {
            double[] thickness = [.. doses.Select(d =>
                1 - Math.Log10(d / 80) / Math.Log10(1.5) + 0.01 * StandardNormal(random))];
            ContrastFit fit = ContrastFitter.Fit(doses, thickness, 1, ResistTone.Positive, new DiagnosticSink());
            held += fit.Clearing.Low <= 120 && 120 <= fit.Clearing.High ? 1 : 0;
        }

        Assert.InRange(held, 380 - 18, 380 + 18);
    }

    [Theory]
    [InlineData(300, 290, 280, "error PC4003: no dose changes even half of the resist (largest dose 80 uC/cm2); add larger doses, until the resist clears (positive) or stays whole (negative)")]
    [InlineData(60, 20, 0, "error PC4003: even the smallest dose (40 uC/cm2) changes more than half of the resist; add smaller doses")]
    public void Data_that_miss_the_slope_are_refused(double first, double second, double third, string expected)
    {
        var error = Assert.Throws<CompileException>(() => ContrastFitter.Fit(
            [40, 60, 80], [first, second, third], 300, ResistTone.Positive, new DiagnosticSink()));
        Assert.Equal(expected, error.Message);
    }

    [Fact]
    public void Two_slope_points_give_a_value_but_no_error_and_say_so()
    {
        var sink = new DiagnosticSink();
        ContrastFit fit = ContrastFitter.Fit([50, 90, 110, 200], [300, 200, 100, 0], 300, ResistTone.Positive, sink);
        Assert.True(double.IsNaN(fit.Contrast.StandardError));
        Assert.Equal("PC4006", Assert.Single(sink.Collected).Code.Id);
    }

    private static double StandardNormal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
