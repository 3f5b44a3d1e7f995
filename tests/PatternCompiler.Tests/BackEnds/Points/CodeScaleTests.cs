using PatternCompiler.BackEnds.Points;

namespace PatternCompiler.Tests.BackEnds.Points;

/// <summary>Decimals for a thousandth of a code, and back to the code, with numbers worked out by hand.</summary>
public sealed class CodeScaleTests
{
    [Theory]
    [InlineData(5, 6)] // three decimals at least, and three for the thousandth
    [InlineData(1, 6)]
    [InlineData(0.5, 6)]
    [InlineData(0.0048828125, 6)]
    [InlineData(-0.0048828125, 6)]
    [InlineData(0.00099, 7)]
    [InlineData(1e-7, 10)]
    [InlineData(1e-13, 14)]
    [InlineData(1e-30, 14)]
    public void Decimals_show_a_thousandth_of_a_code(double step, int decimals) => Assert.Equal(decimals, new CodeScale(0, step, 16).Decimals);

    [Theory]
    [InlineData(-10, 0.25, 0, -10_000_000)]
    [InlineData(-10, 0.25, 7, -8_250_000)]
    [InlineData(2, -0.125, 15, 125_000)]
    public void A_code_has_its_quantity(double first, double step, int code, long scaled)
    {
        var scale = new CodeScale(first, step, 16);
        Assert.Equal(scaled, scale.ScaledOf(code));
        Assert.True(scale.TryCode(scaled, out int back));
        Assert.Equal(code, back);
    }

    // A code of 0.25 is 250,000: a tenth of it off is none, and there are codes 0 to 15.
    [Theory]
    [InlineData(-8_250_000, true)]
    [InlineData(-8_225_001, true)]
    [InlineData(-8_225_000, false)]
    [InlineData(-8_274_999, true)]
    [InlineData(-8_275_000, false)]
    [InlineData(-10_000_000, true)]
    [InlineData(-10_250_000, false)]
    [InlineData(-6_250_000, true)]
    [InlineData(-6_000_000, false)]
    public void What_is_no_code_is_refused(long scaled, bool isCode) => Assert.Equal(isCode, new CodeScale(-10, 0.25, 16).TryCode(scaled, out _));
}
