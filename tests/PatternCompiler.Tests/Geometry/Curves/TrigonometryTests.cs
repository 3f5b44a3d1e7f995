using CsCheck;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.Tests.Geometry.Curves;

public sealed class TrigonometryTests
{
    [Fact]
    public void Sine_and_cosine_agree_with_the_platform_to_two_units_in_the_last_place_of_one() =>
        Gen.Double[-1000, 1000].Sample(angle =>
        {
            (double sin, double cos) = Trigonometry.SinCos(angle);
            Assert.InRange(sin - Math.Sin(angle), -4e-16, 4e-16);
            Assert.InRange(cos - Math.Cos(angle), -4e-16, 4e-16);
        }, iter: Iterations.Usually(100));

    [Fact]
    public void Arc_tangent_agrees_with_the_platform() =>
        Gen.Select(Gen.Double[-1e3, 1e3], Gen.Double[-1e3, 1e3]).Sample((y, x) =>
        {
            Assert.InRange(Trigonometry.Atan2(y, x) - Math.Atan2(y, x), -9e-16, 9e-16);
            Assert.InRange(Trigonometry.Atan(y) - Math.Atan(y), -5e-16, 5e-16);
        }, iter: Iterations.Usually(100));

    [Theory]
    [InlineData(0, 0, 1)]
    [InlineData(90, 1, 0)]
    [InlineData(180, 0, -1)]
    [InlineData(270, -1, 0)]
    [InlineData(-90, -1, 0)]
    [InlineData(36_000_090, 1, 0)]
    public void Quarter_turns_are_exact(double degrees, double sin, double cos) =>
        Assert.Equal((sin, cos), Trigonometry.SinCosDegrees(degrees));
}
