using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

public sealed class RunSectionTests
{
    [Fact]
    public void Every_key_is_read()
    {
        RunSettings run = Parse("checks: [sample is grounded, door is shut]\n  hold: [fields, layers]\n  readings: [stage, current, current]\n  current_within: 5 %\n  copies: [{at: [-20 um, 1 um], dose: 0.8, focus: -2 um}, {name: b}]").Run;
        Assert.Equal(["sample is grounded", "door is shut"], run.Checks.ToArray());
        Assert.True(run.HoldsBetweenLayers);
        Assert.Equal([RunReading.Current, RunReading.Stage], run.Readings.ToArray());
        Assert.Equal(0.05, run.CurrentWithin);
        Assert.Equal([new RunCopy("copy 1", -20_000, 1000, 0.8, "-2 um"), new RunCopy("b", 0, 0, 1, null)], run.Copies.ToArray());
        RunSettings grouped = Parse("groups: {coarse: [pads, frame], fine: fingers}").Run;
        Assert.Equal(["coarse: pads frame", "fine: fingers"], grouped.Groups.Select(group => $"{group.Name}: {string.Join(' ', group.Layers)}"));
        Assert.False(grouped.HoldsBetweenLayers);
    }

    [Fact]
    public void Without_the_section_a_job_holds_between_write_fields_alone() => Assert.Equal(RunSettings.Usual, JobFile.Parse("job: j\n", null).Run);

    [Theory]
    [InlineData("groups: {a: [x], b: [x]}", "layer 'x' stands in two groups, and would be written twice")]
    [InlineData("groups: {rest: [x]}", "'rest' is a word of the questions of a run")]
    [InlineData("copies: [{name: start}]", "'start' is a word of the questions of a run")]
    [InlineData("groups: {a: [x]}\n  copies: [{}]", "copies")]
    [InlineData("groups: {a: [x]}\n  hold: layers", "hold")]
    [InlineData("current_within: 100 %", "'run.current_within' is a part of the current above 0 and below 100 %, but it is 100 %")]
    [InlineData("current_within: 0 %", "'run.current_within' is a part of the current above 0 and below 100 %, but it is 0 %")]
    [InlineData("copies: [{dose: 0}]", "must be above zero")]
    [InlineData("copies: [{name: a}, {name: a}]", "two copies are called 'a'")]
    [InlineData("copies: [{}]\nfields: {size: 40 um, margin: 2 um}", "the stage goes from field to field already")]
    [InlineData("hold: none\nfields: {size: 40 um, margin: 2 um}", "between write fields somebody moves the stage, and the beam must be off until then")]
    [InlineData("hold: sometimes", "'run.hold' must be one of 'fields', 'layers', 'none'")]
    [InlineData("readings: [weather]", "must be one of 'current', 'focus', 'stage'")]
    [InlineData("chekcs: [a]", "did you mean 'checks'?")]
    public void What_makes_no_sense_is_refused(string section, string expected) =>
        Assert.Contains(expected, Assert.Throws<CompileException>(() => Parse(section)).Message, StringComparison.Ordinal);

    private static Job Parse(string section) => JobFile.Parse($"job: j\nrun:\n  {section}\n", null);
}
