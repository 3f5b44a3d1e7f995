using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

public sealed class JobFileTests
{
    private const string Full = """
        job: sensor
        machine: ../machines/lab.yaml
        process: pmma.yaml
        sources:
          - sensor.dxf
          - file: marks.layout
            unit: um
            layers: [crosses]
            offset: [10 um, -5 um]
            rotate: 90 deg
            join_gap: 2 nm
            open_outlines: error
            nested_outlines: holes
            text: strokes
            top_cell: CHIP
            svg_layers: colour
            layer_prefix: new-
            image_exposes: light
            image_threshold: 0.25
            image_levels: 8
            parameters: {pitch: 2.5 um, count: 7}
        position: centred
        grid: 1 nm
        chord_error: 2 nm
        fracture: {direction: vertical, dose_overlap: sum, smoothing: 2 nm}
        correct: {target: average, tolerance: 1 %, iterations: 20, smallest_piece: 200 nm, dose_classes: 16}
        fill: {strategy: one-way raster, direction: y, line_pitch: 20 nm, point_step: 3 codes}
        layers:
          - layer: pads
          - layer: fingers
            dose_factor: 1.2
            fill: {strategy: lines}
          - crosses
        markers: yes
        outputs:
          - {file: out/sensor.stream, format: stream}
          - {file: out/sensor.csv, format: volts}
        keep:
          figures: out/sensor.figures
        """;

    private static string ErrorOf(string yaml) =>
        Assert.Throws<CompileException>(() => JobFile.Parse(yaml, "jobs/j.yaml")).Message.Split('\n')[0];

    [Fact]
    public void Travel_and_strictness_are_read()
    {
        Job job = JobFile.Parse("job: a\norder: {travel: hidden}\nstrict: yes\n", null);
        Assert.True(job.HidesTravel);
        Assert.True(job.IsStrict);
        job = JobFile.Parse("job: a\norder: {travel: straight}\n", null);
        Assert.False(job.HidesTravel);
        Assert.False(job.IsStrict);
    }

    [Fact]
    public void Reads_everything_and_resolves_paths_against_its_folder()
    {
        Job job = JobFile.Parse(Full, "jobs/j.yaml");
        Assert.Equal("sensor", job.Name);
        Assert.Equal("jobs/../machines/lab.yaml", job.MachinePath);
        Assert.Equal("jobs/pmma.yaml", job.ProcessPath);
        Assert.Equal(new JobSource("jobs/sensor.dxf"), job.Sources[0]);
        JobSource marks = job.Sources[1];
        Assert.Equal(("jobs/marks.layout", 1000.0, 10_000.0, -5000.0, 90.0), (marks.Path, marks.Reading.UnitNanometres, marks.Placement.OffsetXNanometres, marks.Placement.OffsetYNanometres, marks.Placement.RotationDegrees));
        Assert.Equal((2.0, OpenOutlines.AsError, NestedOutlines.Holes), (marks.Reading.JoinGapNanometres, marks.Reading.OpenOutlines, marks.Reading.NestedOutlines));
        Assert.Equal((true, "CHIP", SvgLayerNaming.ByColour), (marks.Reading.TextAsStrokes, marks.Reading.TopCell, marks.Reading.SvgLayerNaming));
        Assert.Equal(new ImageOptions { ExposesLight = true, Threshold = 0.25, DoseLevels = 8 }, marks.Reading.Image);
        Assert.Equal("count = 7, pitch = 2.5 um", string.Join(", ", marks.Reading.Parameters.Select(pair => $"{pair.Key} = {pair.Value}")));
        Assert.Equal("crosses", Assert.Single(marks.Reading.Layers));
        Assert.Equal("new-", marks.Placement.LayerPrefix);
        Assert.Equal(PatternPosition.Centred, job.Position);
        Assert.Equal(1000, job.GridPicometres);
        Assert.Equal(2, job.ChordErrorNanometres);
        Assert.Equal(DoseOverlapRule.Sum, job.DoseOverlap);
        Assert.Equal(2, StageOptions.Fracture(job).SmoothingNanometres);
        Assert.Equal(FractureDirection.Vertical, job.FractureDirection);
        Assert.Equal(new CorrectionSettings(ProximityTarget.Average, 0.01, 20, 200, 16), job.Correction);
        Assert.Equal(new FillSettings(FillStrategy.Of("one-way raster"), FillDirection.Y, Spacing.FromNanometres(20), Spacing.FromCodes(3)), job.Fill);
        Assert.Equal(["pads", "fingers", "crosses"], job.Layers.Select(layer => layer.Layer));
        Assert.Equal(DoseFactor.FromValue(1.2), job.Layers[1].DoseFactor);
        Assert.Equal(new FillSettings(FillStrategy.Of("lines"), FillDirection.Y, Spacing.FromNanometres(20), Spacing.FromCodes(3)), job.Layers[1].Fill.Over(job.Fill));
        Assert.True(job.Markers);
        Assert.Equal([new JobOutput("jobs/out/sensor.stream", OutputFormat.Stream), new JobOutput("jobs/out/sensor.csv", OutputFormat.Volts)], job.Outputs.AsEnumerable());
        Assert.Equal("jobs/out/sensor.figures", job.Keep.Figures);
    }

    [Fact]
    public void Built_in_job_writes_everything_as_drawn()
    {
        Job job = DefaultFiles.Job;
        Assert.Empty(job.Sources);
        Assert.Empty(job.Layers);
        Assert.Null(job.Correction);
        Assert.Equal(100, job.GridPicometres);
        Assert.Equal(
            new FillSettings(FillStrategy.Of("lines"), FillDirection.LongSide, Spacing.FromNanometres(20), Spacing.FromNanometres(10))
            {
                Placement = CodePlacement.Automatic,
                Passes = 1,
                StaggersPasses = false,
                Interlace = 1,
                Trigger = TriggerUnit.None,
                TriggerDelaySeconds = 0,
                SpreadsPasses = false,
            },
            job.Fill);
    }

    [Theory]
    [InlineData("sources: []", "jobs/j.yaml:2:10: error PC0114: 'sources' is an empty list; add an item or leave the key out")]
    [InlineData("sources: [{fil: a}]", "jobs/j.yaml:2:12: error PC0111: unknown key 'fil' in 'sources[1]'; did you mean 'file'?")]
    [InlineData("sources: [{file: a, offset: 3 um}]", "jobs/j.yaml:2:29: error PC0114: 'sources[1].offset' must be a list, but it is '3 um'; start each item with a dash")]
    [InlineData("sources: [{file: a, unit: V}]", "jobs/j.yaml:2:27: error PC0103: 'sources[1].unit' needs a unit of length, but it is 'V'; write for example um")]
    [InlineData("grid: 0.05 pm", "jobs/j.yaml:2:7: error PC0115: 'grid' must be a whole number of picometres from 1 pm to 1 um, but it is 0.05 pm; write for example 0.1 nm")]
    [InlineData("fill: {line_pitch: 2.5 codes}", "jobs/j.yaml:2:20: error PC0115: 'fill.line_pitch' must be a whole number of codes, but it is 2.5 codes")]
    [InlineData("fill: {trigger: rows}", "jobs/j.yaml:2:17: error PC0114: 'fill.trigger' must be one of 'none', 'pass', 'figure', 'row', 'line', but it is 'rows'; did you mean 'row'?")]
    [InlineData("fill: {trigger: row, trigger_delay: 20 s}", "jobs/j.yaml:2:37: error PC0115: 'fill.trigger_delay' must be at most 10 s, but it is 20 s; look for a wrong unit")]
    [InlineData("fill: {line_pitch: 10 pA}", "jobs/j.yaml:2:20: error PC0104: 'fill.line_pitch' needs a length or a number of codes, but '10 pA' is a current; write for example 20 nm or 3 codes")]
    [InlineData("layers: [a, b, a]", "jobs/j.yaml:2:16: error PC0115: the layer 'a' is listed twice; list each layer once, in writing order")]
    [InlineData("layers: [{layer: a, dose_factor: 0}]", "jobs/j.yaml:2:34: error PC0115: 'layers[1].dose_factor' must be above 0 and at most 2000, but it is 0")]
    [InlineData("outputs: [{file: a, format: word}]", "jobs/j.yaml:2:29: error PC0114: 'outputs[1].format' must be one of 'stream', 'words', 'records', 'volts', 'wav', 'npy', 'gcode', 'vcd', but it is 'word'; did you mean 'words'?")]
    [InlineData("outputs: [{file: a, format: stream}, {file: ./b/../a, format: volts}]", "jobs/j.yaml:2:45: error PC0122: 'outputs[2].file' has the same path as another output, './b/../a'; choose another name")]
    [InlineData("correct: {tolerance: 150 %}", "jobs/j.yaml:2:22: error PC0115: 'correct.tolerance' must be below 100 %; write for example 0.5 %")]
    [InlineData("correct: {target: edges}", "jobs/j.yaml:2:19: error PC0114: 'correct.target' must be one of 'edge', 'average', but it is 'edges'; did you mean 'edge'?")]
    [InlineData("report: j.yaml", "jobs/j.yaml:2:9: error PC0122: 'report' would overwrite 'j.yaml', which the job reads; choose another name")]
    [InlineData("report: {file: a.html, centre: 3 um}", "jobs/j.yaml:2:32: error PC0114: 'report.centre' must be a list, but it is '3 um'; start each item with a dash")]
    [InlineData("report: {file: a.html, centre: [3 um]}", "jobs/j.yaml:2:32: error PC0114: 'report.centre' must be a list of two lengths, but it has 1; write for example [10 um, -5 um]")]
    [InlineData("report: {file: a.html, width: 0 um}", "jobs/j.yaml:2:31: error PC0115: 'report.width' must be above zero, but it is 0 um")]
    [InlineData("keep: {figures: j.yaml}", "jobs/j.yaml:2:17: error PC0122: 'keep.figures' would overwrite 'j.yaml', which the job reads; choose another name")]
    public void Errors_name_place_key_and_remedy(string line, string expected) => Assert.Equal(expected, ErrorOf($"job: test\n{line}\n"));

    [Fact]
    public void Placement_passes_and_doses_of_a_layer_reach_the_fill()
    {
        Job job = JobFile.Parse(
            """
            job: sensor
            fill: {placement: weighted, passes: 2, interlace: 3}
            layers:
              - layer: fingers
                area_dose: 300 uC/cm2
                line_dose: 1 nC/cm
                dot_charge: 2 fC
                fill: {placement: rounded, stagger_passes: yes}
            """,
            null);
        LayerFill fingers = StageOptions.Fill(job, DefaultFiles.Machine, DefaultFiles.Process).ByLayer["fingers"];
        Assert.Equal((CodePlacement.Rounded, 2, true, 3), (fingers.Placement, fingers.Passes, fingers.StaggersPasses, fingers.Interlace));
        Assert.Equal(3, fingers.AreaDoseCoulombsPerSquareMetre!.Value, 12);
        Assert.Equal(1e-7, fingers.LineDoseCoulombsPerMetre!.Value, 1e-20);
        Assert.Equal(2e-15, fingers.DotChargeCoulombs!.Value, 1e-27);
        Assert.Equal(CodePlacement.Weighted, StageOptions.Fill(job, DefaultFiles.Machine, DefaultFiles.Process).AllLayers.Placement);
    }
}
