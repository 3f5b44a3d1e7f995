using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Tests.Checks;

public sealed class StrokesCheckerTests
{
    private static StrokeTotals Check(params Stroke[] strokes) => Check(new StrokesHeader(["metal"]), strokes);

    private static StrokeTotals Check(StrokesHeader header, params Stroke[] strokes)
    {
        var checker = new StrokesChecker();
        checker.Begin(header);
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
        "stroke 0: error PC1603: the beam is on before the first jump", FaultOf(Stroke.Dot(0, 0, 0, 1)));

    [Fact]
    public void A_negative_charge_is_refused() => Assert.Equal(
        "stroke 1: error PC1603: its charge is -1 zC, below zero", FaultOf(Stroke.Jump(0, 0, 0), Stroke.Dot(0, 0, 0, -1)));

    [Fact]
    public void A_jump_exposes_nothing() => Assert.Equal(
        "stroke 0: error PC1603: it is a jump, but it exposes points", FaultOf(Stroke.Jump(0, 0, 0) with { Points = 1 }));

    public static TheoryData<object, string> Faults { get; } = new()
    {
        { Stroke.Jump(-1, 0, 0), "its figure number is negative" },
        { Stroke.Jump(0, 0, 0) with { ChargeZeptocoulombs = 1 }, "it is a jump, but it exposes points" },
        { Stroke.Jump(0, 0, 0) with { EndXFemtometres = 1 }, "it is a jump with two places" },
        { Stroke.Jump(0, 0, 0) with { EndYFemtometres = 1 }, "it is a jump with two places" },
        { Stroke.Via(0, 0, 0) with { Points = 1 }, "it is a via, but it exposes points" },
        { Stroke.Via(0, 0, 0) with { ChargeZeptocoulombs = 1 }, "it is a via, but it exposes points" },
        { Stroke.Via(0, 0, 0) with { EndYFemtometres = 1 }, "it is a via with two places" },
        { Stroke.Dot(0, 0, 0, 1) with { Points = 2 }, "it is a dot, but not one point at one place" },
        { Stroke.Dot(0, 0, 0, 1) with { EndXFemtometres = 1 }, "it is a dot, but not one point at one place" },
        { Stroke.Dot(0, 0, 0, 1) with { EndYFemtometres = 1 }, "it is a dot, but not one point at one place" },
        { Stroke.Line(0, 0, 0, 0, 0, 0, 1), "it is a line without points, or with one point and two places" },
        { Stroke.Line(0, 0, 0, 0, 5, 1, 1), "it is a line without points, or with one point and two places" },
        { Stroke.Dot(0, 0, 0, 1) with { Kind = (StrokeKind)99 }, "its kind is 99, which does not exist" },
    };

    [Theory]
    [MemberData(nameof(Faults))]
    public void Every_rule_is_held(object stroke, string fault) =>
        Assert.Equal($"stroke 2: error PC1603: {fault}", FaultOf(Stroke.Jump(0, 0, 0), Stroke.Dot(0, 0, 0, 1), (Stroke)stroke));

    public static TheoryData<object, string> FaultyWaits { get; } = new()
    {
        { Stroke.Await(0, 3, 4, 0) with { Points = 1 }, "it waits for a trigger, but it exposes points" },
        { Stroke.Await(0, 3, 4, 0) with { ChargeZeptocoulombs = 1 }, "it waits for a trigger, but it exposes points" },
        { Stroke.Await(0, 3, 4, 0) with { EndXFemtometres = 4 }, "it is an await with two places" },
        { Stroke.Await(0, 3, 4, 0) with { EndYFemtometres = 3 }, "it is an await with two places" },
        { Stroke.Await(0, 3, 4, -1), "its wait is below zero" },
    };

    [Theory]
    [MemberData(nameof(FaultyWaits))]
    public void Every_rule_of_waits_for_a_trigger_is_held(object stroke, string fault) => Assert.Equal(
        $"stroke 1: error PC1603: {fault}",
        Assert.Throws<CompileException>(() => Check(Triggered, Stroke.Jump(0, 0, 0), (Stroke)stroke)).Message);

    /// <summary>The beam waits where it has jumped to, with or without a time after the trigger; only a document that says so holds waits.</summary>
    [Fact]
    public void A_wait_for_a_trigger_is_a_jump_of_a_document_that_says_so()
    {
        Stroke[] strokes = [Stroke.Await(0, 3, 4, 0), Stroke.Dot(0, 3, 4, 1), Stroke.Await(0, 5, 4, 250), Stroke.Dot(0, 5, 4, 1)];
        Assert.Equal(new StrokeTotals(2, 0, 2, 2, 1, 2), Check(Triggered, strokes));
        Assert.Equal("stroke 0: error PC1603: it waits for a trigger, which the document's header does not say", FaultOf(strokes));
    }

    private static StrokesHeader Triggered { get; } = new(["metal"]) { WaitsForTrigger = true };

    /// <summary>The number of a faulty stroke counts strokes of every kind before it.</summary>
    [Fact]
    public void The_faulty_stroke_is_named_by_its_number() => Assert.Equal(
        "stroke 6: error PC1603: its figure number is negative",
        FaultOf(
            Stroke.Jump(0, 0, 0), Stroke.Line(0, 0, 0, 30, 0, 4, 3), Stroke.Via(0, 5, 5), Stroke.Jump(0, 9, 9), Stroke.Line(0, 9, 9, 0, 0, 4, 3), Stroke.Dot(0, 9, 9, 4),
            Stroke.Jump(-1, 0, 0)));

    [Fact]
    public void Strokes_of_all_kinds_are_counted() => Assert.Equal(2 + 10 + 300, new StrokeTotals(2, 10, 300, 5, 2, 7).Strokes);

    [Fact]
    public void The_beam_settles_after_a_pass() => Assert.Equal(
        "stroke 2: error PC1603: the beam is on before it has settled after a via",
        FaultOf(Stroke.Jump(0, 0, 0), Stroke.Via(0, 5, 5), Stroke.Dot(0, 5, 5, 1)));

    [Fact]
    public void A_pass_or_a_jump_may_follow_a_pass() => Assert.Equal(
        new StrokeTotals(2, 0, 1, 1, 1, 1),
        Check(Stroke.Jump(0, 0, 0), Stroke.Via(0, 5, 5), Stroke.Via(0, 6, 5), Stroke.Jump(0, 7, 5), Stroke.Dot(0, 7, 5, 1)));

    [Fact]
    public void Nothing_is_passed_before_the_first_jump() => Assert.Equal(
        "stroke 0: error PC1603: the beam passes a place before the first jump", FaultOf(Stroke.Via(0, 0, 0)));

    [Fact]
    public void One_point_cannot_stand_at_two_places() => Assert.Equal(
        "stroke 1: error PC1603: it is a line without points, or with one point and two places",
        FaultOf(Stroke.Jump(0, 0, 0), Stroke.Line(0, 0, 0, 5, 0, 1, 1)));

    [Fact]
    public void Lines_may_have_one_point_at_one_place_or_two_points_at_two() => Assert.Equal(
        new StrokeTotals(1, 3, 0, 5, 1, 6),
        Check(Stroke.Jump(0, 5, 0), Stroke.Line(0, 5, 0, 5, 0, 1, 1), Stroke.Line(0, 5, 0, 5, 9, 2, 2), Stroke.Line(0, 5, 9, 5, 9, 2, 3)));

    [Fact]
    public void Nothing_has_no_totals() => Assert.Equal((StrokeTotals.None, StrokeTotals.None), (new StrokeTotals(0, 0, 0, 0, 0, 0), new StrokesChecker().Totals));
}
