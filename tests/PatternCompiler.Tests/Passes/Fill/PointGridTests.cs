using CsCheck;
using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Tests.Passes.Fill;

public sealed class PointGridTests
{
    /// <summary>Positions 10.6, 13.2, 15.8 are 11, 13, 16 in whole femtometres; below the origin −2.5 rounds up to −2.</summary>
    [Theory]
    [InlineData(10.6, 2.6, 11, 0)]
    [InlineData(10.6, 2.6, 12, 1)]
    [InlineData(10.6, 2.6, 13, 1)]
    [InlineData(10.6, 2.6, 14, 2)]
    [InlineData(10.6, 2.6, 16, 2)]
    [InlineData(10.6, 2.6, 10, 0)]
    [InlineData(10.6, 2.6, 8, -1)]
    [InlineData(0, 2.5, -2, -1)]
    [InlineData(0, 2.5, -3, -1)]
    [InlineData(0, 2.5, 3, 1)]
    public void Rounding_decides_which_position_is_the_first(double origin, double step, long place, long expected) =>
        Assert.Equal(expected, new PointGrid(origin, step).FirstFrom(place));

    /// <summary>Of places at positions, beside them and between them, as far out as a field is wide: the first not below them.</summary>
    [Fact]
    public void The_first_position_from_a_place_is_the_first() => Gen.Select(Gen.Double[-1e12, 1e12], Gen.Double[1.5, 1e8], Gen.Int[-1_000_000, 1_000_000], Gen.Int[-2, 2]).Sample(
        (origin, step, number, beside) =>
        {
            var grid = new PointGrid(origin, step);
            long place = grid.PositionOf(number) + beside;
            long first = grid.FirstFrom(place);
            return grid.PositionOf(first) >= place && grid.PositionOf(first - 1) < place;
        }, iter: Iterations.Usually(100));
}
