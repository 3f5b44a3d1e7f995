using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Passes.Scale;

/// <summary>Curves whose distance from a chord is known in closed form, bent in one axis at a time.</summary>
public sealed class BentLineTests
{
    private const int Last = 64;

    // A parabola with sagitta s over a run has s/4 over half of it: 4 codes become 1, then 1/4, which is allowed.
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_parabola_is_halved_until_its_sagitta_is_a_quarter_of_a_code(bool alongX) =>
        Assert.Equal([16, 32, 48, 64], Ends(alongX, i => i * (Last - i) / 256.0));

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_sagitta_that_is_allowed_divides_nothing(bool alongX) =>
        Assert.Equal([Last], Ends(alongX, i => i * (Last - i) / 4096.0));

    // t(1 - t)(1 - 2t) is 0 in the middle and ±3/32 at the quarters: with a factor of 16, 1.5 codes off the chord.
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void An_S_whose_middle_lies_on_its_chord_is_divided(bool alongX)
    {
        static double Curve(int i)
        {
            double t = i / (double)Last;
            return 16 * t * (1 - t) * (1 - 2 * t);
        }

        List<int> ends = Ends(alongX, Curve);
        Assert.True(ends.Count > 1);
        int first = 0;
        foreach (int last in ends)
        {
            for (int i = first; i <= last; i++)
            {
                double chord = Curve(first) + (Curve(last) - Curve(first)) * (i - first) / (last - first);
                Assert.InRange(Curve(i) - chord, -0.3, 0.3);
            }

            first = last;
        }
    }

    [Fact]
    public void Two_points_are_not_divided() => Assert.Equal([1], Ends(0, 1, i => (100.0 * i * i, -70.0 * i)));

    [Fact]
    public void Three_points_are()
    {
        Assert.Equal([4, 5], Ends(3, 5, i => (i == 4 ? 1 : 0, 0)));
        Assert.Equal([5], Ends(3, 5, i => (i == 4 ? 0.25 : 0, 0)));
    }

    private static List<int> Ends(bool alongX, Func<int, double> bend) =>
        Ends(0, Last, i => alongX ? (bend(i), 1000 + 3.0 * i) : (1000 + 3.0 * i, bend(i)));

    private static List<int> Ends(int first, int last, Func<int, (double, double)> codes)
    {
        List<int> ends = [];
        BentLine.Divide(codes, first, last, ends);
        return ends;
    }
}
