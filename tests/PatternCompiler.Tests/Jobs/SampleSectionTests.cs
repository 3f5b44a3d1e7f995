using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

/// <summary>How a job says where its sample lies on the stage.</summary>
public sealed class SampleSectionTests
{
    private const string Fields = "fields: {size: 95 um, margin: 5 um}\n";

    [Fact]
    public void The_sample_places_the_whole_pattern_and_the_stage_goes_by_it()
    {
        LayerAlignment layers = Read(Fields + "sample: {offset: [2 um, -1 um], rotation: 1 deg, scale: 1.001, skew: 0.1 %, focus: {at_origin: 10 mm, slope_x: 0.1 %, slope_y: -0.2 %}}").Alignment!.Layers;
        Assert.Equal(LayerPlacement.Of(2000, -1000, 1, 1.001, 1.001, 0.001), layers.Sample);
        Assert.Equal(layers.Sample, layers.Whole);
        Assert.Equal(new FocusPlane(1e7, 0.001, -0.002), layers.Focus);
    }

    [Fact]
    public void With_marks_of_each_field_the_stage_alone_goes_by_it()
    {
        LayerAlignment layers = Read(Fields + "sample: {rotation: 1 deg}\nalignment: {fields: {r01c01: {offset: [1 um, 0 um]}}}").Alignment!.Layers;
        Assert.Null(layers.Whole);
        Assert.Equal(1, layers.Sample!.RotationDegrees, 1e-12);
        Assert.Equal(1000, layers.Fields["r01c01"].OffsetXNanometres);
    }

    [Theory]
    [InlineData("sample: {rotation: 1 deg}", "'sample' says where the stage goes, and a job without write fields does not move it; add 'fields' to the job")]
    [InlineData(Fields + "sample: {rotation: 1 deg}\nalignment: {rotation: 1 deg}", "'sample' and 'alignment' would both place the whole pattern; leave one of them out, or align every write field by marks of its own ('alignment.fields')")]
    [InlineData(Fields + "sample: {}", "'sample' says nothing; give at least one of offset, rotation, scale, skew and focus, or leave it out")]
    [InlineData(Fields + "sample: {focus: {at_origin: 10 um, slope_x: 30 %}}", "'sample.focus.slope_x' must be from -0.2 to 0.2, but it is 30 %; write for example 0.08 %")]
    [InlineData(Fields + "sample: {focus: {at_origin: 10 m}}", "'sample.focus.at_origin' must be within 1 m, but it is 10 m; write for example 10.02 mm")]
    [InlineData(Fields + "sample: {turn: 1 deg}", "unknown key 'turn'")]
    public void What_cannot_be_meant_is_refused(string text, string fault) =>
        Assert.Contains(fault, Assert.Throws<CompileException>(() => Read(text)).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("backlash: [-1 um, 0 um]", "'stage.backlash' must be from 0 to 1 mm in both directions, but it is -1 and 0 um")]
    [InlineData("approach: [2 mm, 0 um]", "'stage.approach' must be within 1 mm in both directions, but it is 2000 and 0 um")]
    [InlineData("scale: 3", "'stage.scale' must be from 0.5 to 2, but it is 3")]
    [InlineData("height: {focus: 2 m, scale_per_mm: 9 %}", "'stage.height.focus' must be within 1 m, but it is 2 m")]
    [InlineData("height: {focus: 10 mm}", "scale_per_mm")]
    public void So_is_what_no_stage_does(string keys, string fault)
    {
        string machine = DefaultFiles.MachineText + $"\nstage: {{settle: 1 s, {keys}}}\n";
        Assert.Contains(fault, Assert.Throws<CompileException>(() => MachineFile.Parse(machine, "machine.yaml")).Message, StringComparison.Ordinal);
    }

    private static Job Read(string text) => JobFile.Parse($"job: a\n{text}\n", "job.yaml");
}
