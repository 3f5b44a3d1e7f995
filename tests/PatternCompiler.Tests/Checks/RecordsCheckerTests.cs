using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Tests.Checks;

public sealed class RecordsCheckerTests
{
    private static readonly RecordsHeader Header = new(
        "test", new Dac(12, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e6, 2, 10, 24.4, 24.4, false);

    private static ExposureTotals Check(params DeflectionRecord[] records)
    {
        var checker = new RecordsChecker();
        checker.Begin(Header);
        checker.Write(records);
        checker.End();
        return checker.Totals;
    }

    private static string FaultOf(params DeflectionRecord[] records) => Assert.Throws<CompileException>(() => Check(records)).Message;

    [Fact]
    public void Sums_what_passes() => Assert.Equal(
        new ExposureTotals(5, 1, 5, 15, 7, 9, 3),
        Check(
            DeflectionRecord.Marker(0),
            DeflectionRecord.Jump(0, 4095, 7),
            DeflectionRecord.Dot(0, 4095, 3),
            DeflectionRecord.Line(1, 1, 4, 1, 4, 12),
            DeflectionRecord.Wait(9)));

    [Fact]
    public void The_ticks_of_all_kinds_add_up() => Assert.Equal(3 + 12 + 7 + 9, new ExposureTotals(5, 1, 5, 15, 7, 9, 3).Ticks);

    [Fact]
    public void The_beam_is_off_before_the_first_jump() => Assert.Equal(
        "record 0: error PC1604: the beam is on before the first jump", FaultOf(DeflectionRecord.Dot(0, 0, 5)));

    [Theory]
    [InlineData(4096)]
    [InlineData(-1)]
    public void A_code_outside_the_converter_is_refused(int code) => Assert.Equal(
        "record 0: error PC1604: a code is outside 0 to 4095", FaultOf(DeflectionRecord.Jump(code, 0, 5)));

    [Theory]
    [InlineData(1, 1, 1)]
    [InlineData(2, 3, 2)]
    public void A_dwell_below_the_shortest_is_refused(int points, long ticks, long most) => Assert.Equal(
        $"record 1: error PC1604: a point dwells 1 to {most} ticks, allowed are 2 to 10",
        FaultOf(DeflectionRecord.Jump(0, 0, 0), DeflectionRecord.Line(0, 0, points - 1, 0, points, ticks)));

    public static TheoryData<object, string> Faults { get; } = new()
    {
        { DeflectionRecord.Jump(0, 4096, 5), "a code is outside 0 to 4095" },
        { DeflectionRecord.Jump(0, -1, 5), "a code is outside 0 to 4095" },
        { DeflectionRecord.Dot(4096, 0, 5), "a code is outside 0 to 4095" },
        { DeflectionRecord.Line(4096, 0, 0, 0, 2, 10), "a code is outside 0 to 4095" },
        { DeflectionRecord.Line(0, 4096, 0, 0, 2, 10), "a code is outside 0 to 4095" },
        { DeflectionRecord.Line(-1, 0, 0, 0, 2, 10), "a code is outside 0 to 4095" },
        { DeflectionRecord.Line(0, -1, 0, 0, 2, 10), "a code is outside 0 to 4095" },
        { DeflectionRecord.Line(0, 0, 4096, 0, 2, 10), "a code is outside 0 to 4095" },
        { DeflectionRecord.Line(0, 0, 0, 4096, 2, 10), "a code is outside 0 to 4095" },
        { DeflectionRecord.Line(0, 0, -1, 0, 2, 10), "a code is outside 0 to 4095" },
        { DeflectionRecord.Line(0, 0, 0, -1, 2, 10), "a code is outside 0 to 4095" },
        { DeflectionRecord.Jump(0, 0, -1), "its ticks are below zero" },
        { DeflectionRecord.Wait(-1), "its ticks are below zero" },
        { DeflectionRecord.Marker(-1), "its ticks are below zero" },
        { DeflectionRecord.Jump(0, 0, 5) with { Points = 1 }, "it is a jump, but it exposes points" },
        { DeflectionRecord.Wait(5) with { Points = 1 }, "it is a wait, but it exposes points" },
        { DeflectionRecord.Dot(3, 3, 5) with { Points = 2 }, "it is a dot, but not one point at one place" },
        { DeflectionRecord.Dot(3, 3, 5) with { EndX = 4 }, "it is a dot, but not one point at one place" },
        { DeflectionRecord.Dot(3, 3, 5) with { EndY = 4 }, "it is a dot, but not one point at one place" },
        { DeflectionRecord.Line(0, 0, 5, 0, 0, 5), "it is a line without points" },
        { DeflectionRecord.Dot(3, 3, 5) with { Kind = (RecordKind)99 }, "its kind is 99, which does not exist" },
    };

    [Theory]
    [MemberData(nameof(Faults))]
    public void Every_rule_is_held(object record, string fault) => Assert.Equal(
        $"record 2: error PC1604: {fault}", FaultOf(DeflectionRecord.Jump(0, 0, 0), DeflectionRecord.Dot(0, 0, 10), (DeflectionRecord)record));

    [Theory]
    [InlineData(1, 2)]
    [InlineData(1, 10)]
    [InlineData(3, 6)]
    [InlineData(3, 30)]
    public void The_limits_themselves_are_allowed(int points, long ticks) =>
        Check(DeflectionRecord.Jump(4095, 4095, 0), DeflectionRecord.Line(4095, 0, 0, 4095, points, ticks));

    [Fact]
    public void A_dwell_above_the_longest_is_refused() => Assert.Equal(
        "record 1: error PC1604: a point dwells 10 to 11 ticks, allowed are 2 to 10",
        FaultOf(DeflectionRecord.Jump(0, 0, 0), DeflectionRecord.Line(0, 0, 1, 0, 2, 21)));

    [Fact]
    public void Nothing_has_no_totals() => Assert.Equal((ExposureTotals.None, ExposureTotals.None), (new ExposureTotals(0, 0, 0, 0, 0, 0, 0), new RecordsChecker().Totals));

    [Theory]
    [InlineData(5, 3, 3)]
    [InlineData(3, 5, 3)]
    [InlineData(0, 5, 5)]
    [InlineData(5, 0, 5)]
    public void Totals_of_two_documents_add_up_to_the_shorter_dwell_of_those_that_expose(long one, long other, long shortest) => Assert.Equal(
        new ExposureTotals(11, 22, one == 0 ? 30 : other == 0 ? 3 : 33, 44, 55, 66, shortest),
        new ExposureTotals(1, 2, one == 0 ? 0 : 3, 4, 5, 6, one).Plus(new ExposureTotals(10, 20, other == 0 ? 0 : 30, 40, 50, 60, other)));
}
