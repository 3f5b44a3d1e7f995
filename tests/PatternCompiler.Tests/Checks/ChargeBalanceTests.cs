using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Checks;

public sealed class ChargeBalanceTests
{
    private static readonly Clock Clock = new(1e7, 1, 1000);
    private static readonly Beam Beam = new(100e-12, 20, 30_000);

    // 100 pA for 100 ns is 1e-17 C: one tick carries 10,000 zC.
    private static StrokeTotals Strokes(long ticks, long points) => new(1, 1, 0, points, 2, ticks * 10_000);

    private static ExposureTotals Records(long ticks, long points) => new(2, 1, points, ticks, 0, 0, 1);

    [Theory]
    [InlineData(1000)]
    [InlineData(998)]
    [InlineData(1002)]
    public void Rounding_at_each_change_of_figure_is_allowed(long ticks) =>
        ChargeBalance.Check(Strokes(1000, 9), Records(ticks, 9), Clock, Beam);

    [Theory]
    [InlineData(997)]
    [InlineData(1003)]
    public void Lost_or_gained_charge_is_a_defect(long ticks) => Assert.Equal(
        $"error PC1605: the strokes carry 10 fC, which is 1000 ticks, but the records expose {ticks} ticks",
        Assert.Throws<CompileException>(() => ChargeBalance.Check(Strokes(1000, 9), Records(ticks, 9), Clock, Beam)).Message);

    // At half the current the same charge takes twice the ticks, at twice the current half of them.
    [Theory]
    [InlineData(50e-12, 998, 2002)]
    [InlineData(200e-12, 498, 1002)]
    public void A_drifting_current_allows_what_lies_between_its_readings(double later, long fewest, long most)
    {
        Beam drifting = Beam with { Later = new CurrentReading(1, later) };
        ChargeBalance.Check(Strokes(1000, 9), Records(fewest, 9), Clock, drifting);
        ChargeBalance.Check(Strokes(1000, 9), Records(most, 9), Clock, drifting);
        Assert.Throws<CompileException>(() => ChargeBalance.Check(Strokes(1000, 9), Records(fewest - 1, 9), Clock, drifting));
        Assert.Throws<CompileException>(() => ChargeBalance.Check(Strokes(1000, 9), Records(most + 1, 9), Clock, drifting));
    }

    [Fact]
    public void Lost_points_are_a_defect() => Assert.Equal(
        "error PC1605: the strokes have 9 points, but the records have 8",
        Assert.Throws<CompileException>(() => ChargeBalance.Check(Strokes(1000, 9), Records(1000, 8), Clock, Beam)).Message);
}
