using PatternCompiler.Calibration.Contrast;

namespace PatternCompiler.Tests.Calibration;

/// <summary>The sums of a clamped slope against the curve itself, place by place: 1 up to the top, 0 from the end on, straight between.</summary>
public sealed class ClampedSlopeTests
{
    // In no order; two abscissae are a ten-millionth apart and count as one.
    private static readonly double[] X = [0.31, -0.42, 0.05, -0.2, 0.11, 0.3100001, -0.07, 0.5, 0.18, -0.6];
    private static readonly double[] Y = [0.12, 0.97, 0.55, 0.91, 0.41, 0.08, 0.72, 0.03, 0.33, 1.04];

    [Fact]
    public void Abscissae_are_counted_once()
    {
        var slope = new ClampedSlope(X, Y, 1);
        Assert.Equal(9, slope.Count);
        Assert.Equal(4, slope.CountBetween(-0.2, 0.31));
        Assert.Equal(6, slope.CountBetween(-0.2001, 0.3101));
        Assert.Equal(5, slope.CountBetween(-0.2001, 0.31));
        Assert.Equal(0, slope.CountBetween(0.06, 0.1));
    }

    [Theory]
    [InlineData(-0.25, 0.35)]
    [InlineData(-0.2, 0.31)]
    [InlineData(-0.9, 0.9)]
    [InlineData(-0.07, 0.05)]
    [InlineData(0.02, 0.03)]
    [InlineData(0.4, 0.7)]
    public void Sums_of_squares_and_heights_are_those_of_the_curve(double top, double end)
    {
        foreach (double height in (double[])[0.5, 1, 1.3])
        {
            Assert.Equal(Squares(top, end, height), new ClampedSlope(X, Y, null).Squares(top, end, height), 1e-6);
        }

        Assert.Equal(Squares(top, end, 1), new ClampedSlope(X, Y, 1).Squares(top, end), 1e-6);
        Assert.Equal(1, new ClampedSlope(X, Y, 1).HeightAt(top, end));
        double best = Height(top, end);
        Assert.Equal(best, new ClampedSlope(X, Y, null).HeightAt(top, end), 1e-6);

        // A top below every reading leaves no reading on the plateau that would tell its height.
        Assert.Equal(top < -0.6 ? double.PositiveInfinity : Squares(top, end, best), new ClampedSlope(X, Y, null).Squares(top, end), 1e-6);
    }

    [Fact]
    public void Kinks_that_make_no_slope_leave_no_sum()
    {
        var slope = new ClampedSlope(X, Y, 1);
        Assert.Equal(double.PositiveInfinity, slope.Squares(0.1, 0.1));
        Assert.Equal(double.PositiveInfinity, slope.Squares(0.1, 0.1000005));
        Assert.Equal(double.PositiveInfinity, slope.Squares(0.2, 0.1));
        Assert.True(double.IsFinite(slope.Squares(0.1, 0.100002)));
    }

    /// <summary>
    /// A curve whose plateau ends at 0.1 leaves nothing at its height, wherever about 0.1 it is looked for; a height that is stated
    /// otherwise leaves what the best slope with it leaves.
    /// </summary>
    [Theory]
    [InlineData(-0.04)]
    [InlineData(-0.24)]
    [InlineData(0.02)]
    [InlineData(0.09)]
    [InlineData(0.12)]
    [InlineData(0.19)]
    [InlineData(0.24)]
    public void The_best_slope_is_found_from_either_side(double near)
    {
        double[] places = [.. Enumerable.Range(-12, 30).Select(i => i * 0.05)];
        var slope = new ClampedSlope(places, [.. places.Select(x => 0.8 * Curve(x, 0.1, 0.47))], null);
        double expected = Math.Abs(near - 0.1) < 0.15 ? 0 : Squares(near > 0.1 ? near - 0.15 : near + 0.15);
        Assert.Equal(expected, slope.WithHeight(0.8, near), 1e-6);
        Assert.Equal(0, slope.WithTopLeast(0.1), 1e-9);
        Assert.Equal(0.47, slope.WithTop(0.1).End, 1e-6);
        Assert.Equal(0, slope.WithEnd(0.47), 1e-9);
        Assert.Equal(0, slope.WithWidth(0.37), 1e-9);
        (double top, double end, double squares) = slope.Best();
        Assert.Equal((0.1, 0.47, 0), (Math.Round(top, 5), Math.Round(end, 5), Math.Round(squares, 9)));

        double Squares(double top) => Enumerable.Range(1, 4000).Min(i => places.Sum(x => Math.Pow(0.8 * (Curve(x, 0.1, 0.47) - Curve(x, top, top + i * 0.0003)), 2)));
    }

    /// <summary>Of readings with noise, no pair of kinks of a fine grid leaves less than the best one; nor with one of them, or the width, held.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Nothing_leaves_less_than_the_best(int seed)
    {
        var random = new Random(seed);
        double[] places = [.. Enumerable.Range(0, 14).Select(i => -0.5 + 0.07 * i + 0.05 * random.NextDouble())];
        double[] readings = [.. places.Select(x => Curve(x, -0.21, 0.17) + 0.12 * (random.NextDouble() - 0.5))];
        double[] grid = [.. Enumerable.Range(0, 181).Select(i => -0.6 + 0.0075 * i)];
        double Least(double? top, double? end, double? width) =>
            (from t in top is double given ? [given] : grid from e in end is double known ? [known] : width is double w ? [t + w] : grid where e > t + 1e-6 select places.Zip(readings, (x, y) => Math.Pow(y - Curve(x, t, e), 2)).Sum()).Min();
        var slope = new ClampedSlope(places, readings, 1);
        (double bestTop, double bestEnd, double squares) = slope.Best();
        AssertLeast(Least(null, null, null), squares);
        Assert.Equal(squares, places.Zip(readings, (x, y) => Math.Pow(y - Curve(x, bestTop, bestEnd), 2)).Sum(), 1e-9);
        foreach (double held in (double[])[-0.3, -0.2, -0.1])
        {
            AssertLeast(Least(held, null, null), slope.WithTopLeast(held));
            AssertLeast(Least(null, held + 0.35, null), slope.WithEnd(held + 0.35));
            AssertLeast(Least(null, null, held + 0.5), slope.WithWidth(held + 0.5));
        }

        // The grid's steps are 7.5 thousandths: what is best on it is not much better anywhere.
        static void AssertLeast(double ofGrid, double found) => Assert.InRange(found, 0.93 * ofGrid, ofGrid + 1e-9);
    }

    private static double Curve(double x, double top, double end) => x <= top ? 1 : x >= end ? 0 : (end - x) / (end - top);

    private static double Squares(double top, double end, double height) => X.Zip(Y, (x, y) => Math.Pow(y - height * Curve(x, top, end), 2)).Sum();

    // Of all heights the one whose sum of squares has no slope: Σy·c / Σc².
    private static double Height(double top, double end) => X.Zip(Y, (x, y) => y * Curve(x, top, end)).Sum() / X.Sum(x => Math.Pow(Curve(x, top, end), 2));
}
