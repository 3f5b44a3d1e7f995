using PatternCompiler.Calibration.BlankerDelay;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Tests.Calibration;

public class BlankerDelayFitterTests
{
    [Fact]
    public void Delays_are_the_slopes_and_offsets_the_intercepts()
    {
        double[] speeds = [10, 20, 50, 100];
        BlankerDelayFit fit = BlankerDelayFitter.Fit(
            speeds, [.. speeds.Select(v => 12 + 3.5 * v)], [.. speeds.Select(v => 2.25 * v - 5)], new DiagnosticSink());
        Assert.Equal(3.5, fit.OffDelay.Value, 10);
        Assert.Equal(12, fit.TailOffset.Value, 9);
        Assert.Equal(2.25, fit.OnDelay.Value, 10);
        Assert.Equal(-5, fit.HeadOffset.Value, 9);
    }

    [Fact]
    public void One_speed_is_not_enough()
    {
        var error = Assert.Throws<CompileException>(
            () => BlankerDelayFitter.Fit([10, 10, 10], [30, 31, 32], [20, 20, 20], new DiagnosticSink()));
        Assert.Equal("PC4004", error.Diagnostic.Code.Id);
    }
}
