using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Tests.Jobs;

public sealed class FieldSectionTests
{
    private const string Full = """
        job: row
        fields:
          width: 90 um
          height: 80 um
          margin: 5 um
          seam: taper
          seam_width: 500 nm
          taper_steps: 4
          order: shortest
          first: [-45 um, 10 um]
          manifest: out/list.yaml
          marks: {layer: crosses, written: last, shape: cross, size: 4 um, bar: 500 nm, at: [[-40 um, 35 um]]}
        """;

    [Fact]
    public void Reads_everything()
    {
        FieldSettings fields = JobFile.Parse(Full, "jobs/j.yaml").Fields!;
        FieldOptions options = fields.Options;
        Assert.Equal("jobs/out/list.yaml", fields.ManifestPath);
        Assert.Equal((90_000.0, 80_000.0, 5000.0), (options.WidthNanometres, options.HeightNanometres, options.MarginNanometres));
        Assert.Equal((SeamKind.Taper, 500.0, 4, StageOrder.Shortest), (options.Seam, options.SeamWidthNanometres, options.TaperSteps, options.Order));
        Assert.Equal((-45_000.0, 10_000.0), options.FirstCentreNanometres);
        FieldMarks marks = options.Marks!;
        Assert.Equal(("crosses", false, MarkShape.Cross, 4000.0, 500.0), (marks.Layer, marks.AreFirst, marks.Shape, marks.SizeNanometres, marks.BarNanometres));
        Assert.Equal([(-40_000.0, 35_000.0)], marks.Places.AsEnumerable());
    }

    [Fact]
    public void Little_is_needed()
    {
        FieldOptions options = JobFile.Parse("job: row\nfields: {size: 95 um, margin: 5 um, marks: {layer: crosses}}", "j.yaml").Fields!.Options;
        Assert.Equal((95_000.0, 95_000.0, SeamKind.Butt, StageOrder.Serpentine), (options.WidthNanometres, options.HeightNanometres, options.Seam, options.Order));
        Assert.True(options.Marks is { AreFirst: true, Places.IsEmpty: true });
        Assert.Null(JobFile.Parse("job: row", "j.yaml").Fields);
    }

    [Theory]
    [InlineData("{size: 95 um}", "j.yaml:2:9: error PC0113: 'fields' has no 'margin'; add 'margin:' with its value")]
    [InlineData("{size: 95 um, width: 1 um, margin: 5 um}", "j.yaml:2:30: error PC0115: 'size' and 'width' exclude each other; keep one of them")]
    [InlineData("{size: 95 um, margin: 5 um, seam_width: 1 um}", "j.yaml:2:49: error PC0115: 'fields.seam_width' has no meaning where the parts meet edge to edge; add 'seam: taper' or 'seam: overlap', or leave it out")]
    [InlineData("{size: 95 um, margin: 5 um, seam: overlap, seam_width: 1 um, taper_steps: 3}", "j.yaml:2:83: error PC0115: 'fields.taper_steps' has no meaning without a taper; add 'seam: taper', or leave it out")]
    [InlineData("{size: 95 um, margin: 5 um, seam: taper}", "j.yaml:2:9: error PC0113: 'fields' has no 'seam_width'; add 'seam_width:' with its value")]
    [InlineData("{size: 95 um, margin: 5 um, order: spiral}", "j.yaml:2:44: error PC0114: 'fields.order' must be one of 'serpentine', 'rows', 'shortest', 'spread', but it is 'spiral'")]
    [InlineData("{size: 95 um, margin: 5 um, marks: {layer: m, size: 2 um}}", "j.yaml:2:61: error PC0115: 'fields.marks.size' is about marks that are made, but 'fields.marks.at' does not say where; add 'at' with their places from the field's centre")]
    [InlineData("{size: 95 um, margin: 5 um, marks: {layer: m, size: 2 um, bar: 3 um, at: [[0 um, 0 um]]}}", "j.yaml:2:72: error PC0115: 'fields.marks.bar' is wider than the mark itself; give the width of one bar of the cross")]
    [InlineData("{size: 95 um, margin: 5 um, first: [1 um]}", "j.yaml:2:44: error PC0114: 'fields.first' must be a list of two lengths, but it has 1; write for example [10 um, -5 um]")]
    public void Errors_name_place_key_and_remedy(string section, string expected) => Assert.Equal(
        expected,
        Assert.Throws<CompileException>(() => JobFile.Parse("job: row\nfields: " + section, "j.yaml")).Message.Split('\n')[0]);

    [Fact]
    public void A_stage_is_read()
    {
        Machine machine = MachineFile.Parse(
            DefaultFiles.MachineText + "\nstage: {speed: 0.2 mm/s, settle: 2 s, step: 1 um, origin: [12 mm, 8 mm], invert_x: yes, range_x: [0 mm, 25 mm]}\n", "m.yaml");
        Stage stage = machine.Stage!;
        Assert.Equal((12e6 - 50_000, 8e6 + 20_000), stage.ReadingAt(50_000, 20_000));
        Assert.Equal(2.5, stage.MoveSeconds(-100_000, 30_000), 12);
        Assert.Equal(0, stage.MoveSeconds(0, 0));
        Assert.True(stage.Reaches((0, 1e9)));
        Assert.False(stage.Reaches((-1, 0)));
        Assert.Equal(1000, stage.StepNanometres);
        Assert.Null(DefaultFiles.Machine.Stage);
        Assert.Equal(60, MachineFile.Parse(DefaultFiles.MachineText + "\nstage: {settle: 1 min}\n", "m.yaml").Stage!.MoveSeconds(1, 0));
    }

    [Fact]
    public void A_range_of_the_stage_has_its_lowest_reading_first()
    {
        string yaml = DefaultFiles.MachineText + "\nstage: {settle: 1 s, range_y: [5 mm, -5 mm]}\n";
        Assert.EndsWith(
            "error PC0115: 'stage.range_y' must name the lowest reading first, then the highest; write for example [-10 mm, 10 mm]",
            Assert.Throws<CompileException>(() => MachineFile.Parse(yaml, "m.yaml")).Message.Split('\n')[0],
            StringComparison.Ordinal);
    }
}
