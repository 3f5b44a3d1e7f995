using CsCheck;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Tests.Prediction.Estimate;

public class RippleTests
{
    [Fact]
    public void Direct_sums_of_even_lines_give_the_closed_form() =>
        Gen.Select(Gen.Double[0.2, 0.6], Gen.Double[1, 100]).Sample((ratio, pitch) =>
        {
            double deviation = ratio * pitch;
            double[] positions = [.. Enumerable.Range(0, 60).Select(i => i * pitch)];
            double[] charges = [.. positions.Select(_ => 1.0)];
            double expected = EvenLines.Ripple(deviation, pitch);

            // Harmonics above the first, and the finite number of sampled places.
            Assert.Equal(expected, Ripple.OfLines(positions, charges, deviation), 0.01 * expected + 2e-6);
        }, iter: Iterations.Usually(50));

    [Fact]
    public void Two_lines_or_lines_far_wider_than_their_band_have_no_inside()
    {
        Assert.Equal(0, Ripple.OfLines([0, 1], [1, 1], 0.5));
        Assert.Equal(0, Ripple.OfLines([0, 1, 2], [1, 1, 1], 5));
    }
}
