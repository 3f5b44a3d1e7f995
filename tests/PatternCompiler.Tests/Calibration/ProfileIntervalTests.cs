using PatternCompiler.Calibration;

namespace PatternCompiler.Tests.Calibration;

/// <summary>
/// Ends of profiles that are known in closed form: least squares 4, 8 spare readings, so that a reading's variance is 0.5, and Student's t is
/// 2.3060 (any handbook's table): an end is where the sum is 4 + 0.5·2.306² = 6.6588.
/// </summary>
public sealed class ProfileIntervalTests
{
    private const double Root = 2.30600414;

    // Left of its best place, 3, the sum grows as a parabola of standard error 0.2, right of it with 0.7 in the logarithm.
    private static double Uneven(double at) => 4 + 0.5 * (at < 3 ? Math.Pow((at - 3) / 0.2, 2) : Math.Pow(Math.Log(at - 2) / 0.7, 2));

    [Theory]
    [InlineData(0.2)]
    [InlineData(0.003)]
    [InlineData(1e-9)]
    [InlineData(5)]
    [InlineData(1e6)]
    public void Ends_do_not_depend_on_the_first_guess(double guess)
    {
        (double low, double high) = ProfileInterval.Find(Uneven, 3, 4, 0.5, guess, 50, 8);
        Assert.Equal(3 - 0.2 * Root, low, 2e-5);
        Assert.Equal(2 + Math.Exp(0.7 * Root), high, 2e-4);
    }

    /// <summary>Where the best value is so large that no step within reach changes it, nothing is known of ends.</summary>
    [Theory]
    [InlineData(1e69)]
    [InlineData(-4e81)]
    [InlineData(1e14)]
    [InlineData(double.NaN)]
    [InlineData(double.NegativeInfinity)]
    public void Of_a_value_beyond_all_rounding_there_are_no_ends(double best) =>
        Assert.Equal((double.NegativeInfinity, double.PositiveInfinity), ProfileInterval.Find(_ => 10, best, 4, 0.5, 0.2, 14, 8));

    [Fact]
    public void An_end_beyond_reach_is_none()
    {
        double end = Math.Exp(0.7 * Root) - 1;
        Assert.Equal(2 + Math.Exp(0.7 * Root), ProfileInterval.Find(Uneven, 3, 4, 0.5, 0.2, 1.001 * end, 8).High, 2e-4);
        Assert.Equal((3 - 0.2 * Root, double.PositiveInfinity), Rounded(ProfileInterval.Find(Uneven, 3, 4, 0.5, 0.2, 0.999 * end, 8)));
        Assert.Equal((double.NegativeInfinity, double.PositiveInfinity), ProfileInterval.Find(_ => 4, 3, 4, 0.5, 0.2, 50, 8));

        static (double, double) Rounded((double Low, double High) ends) => (Math.Abs(ends.Low - (3 - 0.2 * Root)) < 2e-5 ? 3 - 0.2 * Root : ends.Low, ends.High);
    }

    [Fact]
    public void Where_there_is_no_model_the_interval_ends()
    {
        (double low, double high) = ProfileInterval.Find(at => at is > 2.25 and < 3.125 ? 4 : double.PositiveInfinity, 3, 4, 0.5, 0.2, 50, 8);
        Assert.Equal((2.25, 3.125), (Math.Round(low, 4), Math.Round(high, 4)));
    }

    /// <summary>A profile below the minimum, by rounding, is at the minimum.</summary>
    [Fact]
    public void Rounding_below_the_minimum_is_inside() =>
        Assert.Equal(3 + 0.5 * Root, ProfileInterval.Find(at => Math.Abs(at - 3) < 0.3 ? 3.9 : 4 + 0.5 * Math.Pow((at - 3) / 0.5, 2), 3, 4, 0.5, 0.01, 50, 8).High, 5e-5);

    [Fact]
    public void Without_scatter_or_a_reading_to_spare_the_interval_is_the_value()
    {
        Assert.Equal((3, 3), ProfileInterval.Find(Uneven, 3, 4, 0, 0.2, 50, 8));
        Assert.Equal((3, 3), ProfileInterval.Find(Uneven, 3, 4, double.NaN, 0.2, 50, 8));
        Assert.Equal((3, 3), ProfileInterval.Find(Uneven, 3, 4, 0.5, 0.2, 50, 0));
        Assert.NotEqual((3, 3), ProfileInterval.Find(Uneven, 3, 4, 0.5, 0.2, 1e6, 1));
    }
}
