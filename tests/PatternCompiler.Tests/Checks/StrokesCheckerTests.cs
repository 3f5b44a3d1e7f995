using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Tests.Checks;

public sealed class StrokesCheckerTests
{
    private static StrokeTotals Check(params Stroke[] strokes)
    {
        var checker = new StrokesChecker();
        checker.Begin(new StrokesHeader(["metal"]));
        checker.Write(strokes);
        checker.End();
        return checker.Totals;
    }

    private static string FaultOf(params Stroke[] strokes) => Assert.Throws<CompileException>(() => Check(strokes)).Message;

    [Fact]
    public void Sums_what_passes() => Assert.Equal(
        new StrokeTotals(2, 1, 1, 5, 2, 7),
        Check(Stroke.Jump(0, 0, 0), Stroke.Line(0, 0, 0, 30, 0, 4, 3), Stroke.Jump(1, 9, 9), Stroke.Dot(1, 9, 9, 4)));

    [Fact]
    public void The_beam_is_off_before_the_first_jump() => Assert.Equal(
        "stroke 1: error PC1603: the beam is on before the first jump", FaultOf(Stroke.Dot(0, 0, 0, 1)));

    [Fact]
    public void A_negative_charge_is_refused() => Assert.Equal(
        "stroke 1: error PC1603: its charge is -1 zC, below zero", FaultOf(Stroke.Jump(0, 0, 0), Stroke.Dot(0, 0, 0, -1)));

    [Fact]
    public void A_jump_exposes_nothing() => Assert.Equal(
        "stroke 0: error PC1603: it is a jump, but it exposes points", FaultOf(Stroke.Jump(0, 0, 0) with { Points = 1 }));

    [Fact]
    public void One_point_cannot_stand_at_two_places() => Assert.Equal(
        "stroke 1: error PC1603: it is a line without points, or with one point and two places",
        FaultOf(Stroke.Jump(0, 0, 0), Stroke.Line(0, 0, 0, 5, 0, 1, 1)));
}
