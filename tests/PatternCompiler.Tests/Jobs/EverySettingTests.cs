using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Order;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Passes.Relief;

namespace PatternCompiler.Tests.Jobs;

/// <summary>Every key and every choice of a job file, one at a time, and what holds where a key is left out.</summary>
public sealed class EverySettingTests
{
    private static readonly (string Yaml, Func<Job, object?> Value, object? Expected)[] Settings =
    [
        ("", j => j.MachinePath, null),
        ("", j => j.ProcessPath, null),
        ("", j => j.Position, PatternPosition.AsDrawn),
        ("position: as drawn", j => j.Position, PatternPosition.AsDrawn),
        ("position: centred", j => j.Position, PatternPosition.Centred),
        ("", j => j.GridPicometres, 100L),
        ("grid: 1 pm", j => j.GridPicometres, 1L),
        ("grid: 1 um", j => j.GridPicometres, 1_000_000L),
        ("", j => j.ChordErrorNanometres, 1.0),
        ("chord_error: 3 nm", j => j.ChordErrorNanometres, 3.0),
        ("", j => j.Bias, new BiasSettings(0, OffsetJoin.Mitre)),
        ("bias: -5 nm", j => j.Bias, new BiasSettings(-5, OffsetJoin.Mitre)),
        ("bias: {distance: 8 nm}", j => j.Bias, new BiasSettings(8, OffsetJoin.Mitre)),
        ("bias: {distance: 8 nm, corners: mitred}", j => j.Bias, new BiasSettings(8, OffsetJoin.Mitre)),
        ("bias: {distance: 8 nm, corners: round}", j => j.Bias, new BiasSettings(8, OffsetJoin.Round)),
        ("bias: {corners: square}", j => j.Bias, new BiasSettings(0, OffsetJoin.Square)),
        ("", j => (j.FractureDirection, j.DoseOverlap), (FractureDirection.Horizontal, DoseOverlapRule.Highest)),
        ("fracture: {direction: horizontal, dose_overlap: highest}", j => (j.FractureDirection, j.DoseOverlap), (FractureDirection.Horizontal, DoseOverlapRule.Highest)),
        ("fracture: {direction: vertical, dose_overlap: lowest}", j => (j.FractureDirection, j.DoseOverlap), (FractureDirection.Vertical, DoseOverlapRule.Lowest)),
        ("fracture: {direction: automatic, dose_overlap: first}", j => (j.FractureDirection, j.DoseOverlap), (FractureDirection.Automatic, DoseOverlapRule.First)),
        ("fracture: {dose_overlap: sum}", j => j.DoseOverlap, DoseOverlapRule.Sum),
        ("", j => (j.LargestFigureNanometres, j.SliverNanometres, j.SmoothingNanometres), (0.0, 0.0, 0.0)),
        ("fracture: {largest_figure: 5 um, sliver: 10 nm, smoothing: 2 nm}", j => (j.LargestFigureNanometres, j.SliverNanometres, j.SmoothingNanometres), (5000.0, 10.0, 2.0)),
        ("", j => j.Correction, null),
        ("correct: {tolerance: 0.5 %}", j => j.Correction, new CorrectionSettings(ProximityTarget.Edge, 0.005, 60, 100, 0)),
        ("correct: {target: edge}", j => j.Correction, new CorrectionSettings(ProximityTarget.Edge, 0.005, 60, 100, 0)),
        ("correct: {target: average, iterations: 7, smallest_piece: 50 nm, dose_classes: 9}", j => j.Correction, new CorrectionSettings(ProximityTarget.Average, 0.005, 7, 50, 9)),
        .. FillStrategy.All.Select(strategy => ($"fill: {{strategy: {strategy.Word}}}", (Func<Job, object?>)(j => j.Fill.Strategy), (object?)strategy)),
        ("fill: {direction: x}", j => j.Fill.Direction, FillDirection.X),
        ("fill: {direction: y}", j => j.Fill.Direction, FillDirection.Y),
        ("fill: {direction: long side}", j => j.Fill.Direction, FillDirection.LongSide),
        ("fill: {line_pitch: 30 nm, point_step: 4 codes}", j => (j.Fill.LinePitch, j.Fill.PointStep), ((Spacing?)Spacing.FromNanometres(30), (Spacing?)Spacing.FromCodes(4))),
        ("fill: {line_pitch: 16777216 codes, point_step: automatic}", j => (j.Fill.LinePitch, j.Fill.PointStep), ((Spacing?)Spacing.FromCodes(1 << 24), (Spacing?)Spacing.Automatic)),
        ("fill: {placement: automatic}", j => j.Fill.Placement, CodePlacement.Automatic),
        ("fill: {placement: rounded}", j => j.Fill.Placement, CodePlacement.Rounded),
        ("fill: {placement: weighted}", j => j.Fill.Placement, CodePlacement.Weighted),
        ("fill: {placement: centre}", j => j.Fill.Placement, CodePlacement.Centre),
        ("fill: {passes: 1, stagger_passes: no, interlace: 1000}", j => (j.Fill.Passes, j.Fill.StaggersPasses, j.Fill.Interlace), ((int?)1, (bool?)false, (int?)1000)),
        ("fill: {passes: 1000, stagger_passes: yes, interlace: 1}", j => (j.Fill.Passes, j.Fill.StaggersPasses, j.Fill.Interlace), ((int?)1000, (bool?)true, (int?)1)),
        ("fill: {trigger: pass}", j => j.Fill.Trigger, TriggerUnit.Pass),
        ("fill: {trigger: figure, trigger_delay: 0 us, trigger_phases: same}", j => (j.Fill.Trigger, j.Fill.TriggerDelaySeconds, j.Fill.SpreadsPasses), ((TriggerUnit?)TriggerUnit.Figure, (double?)0, (bool?)false)),
        ("fill: {trigger: row, trigger_delay: 2 ms, trigger_phases: spread}", j => (j.Fill.Trigger, j.Fill.TriggerDelaySeconds, j.Fill.SpreadsPasses), ((TriggerUnit?)TriggerUnit.Row, (double?)2e-3, (bool?)true)),
        ("fill: {trigger: line, trigger_delay: 10 s}", j => (j.Fill.Trigger, j.Fill.TriggerDelaySeconds), ((TriggerUnit?)TriggerUnit.Line, (double?)10)),
        ("fill: {trigger: none}", j => j.Fill.Trigger, TriggerUnit.None),
        ("", j => j.Order, new OrderOptions(WritingOrder.ShortTravel, DoseOrder.Mixed, 30_000)),
        ("order: {by: short travel}", j => j.Order, new OrderOptions(WritingOrder.ShortTravel, DoseOrder.Mixed, 30_000)),
        ("order: {by: as given, dose: mixed}", j => j.Order, new OrderOptions(WritingOrder.AsGiven, DoseOrder.Mixed, 30_000)),
        ("order: {by: x, dose: lowest first}", j => j.Order, new OrderOptions(WritingOrder.AlongX, DoseOrder.LowestFirst, 30_000)),
        ("order: {by: y, dose: highest first, trials: 0}", j => j.Order, new OrderOptions(WritingOrder.AlongY, DoseOrder.HighestFirst, 0)),
        ("", j => j.Alignment, null),
        ("alignment: {offset: [1 um, -2 um], rotation: 0 deg, scale: [1, 1], skew: 0}", j => j.Alignment!.Layers.Whole, new LayerPlacement(1, 0, 1000, 0, 1, -2000)),
        ("fields: {size: 90 um, margin: 5 um, order: spread}\nsample: {offset: [1 um, -2 um], focus: {at_origin: 9 mm, slope_x: 0.001, slope_y: -0.002}}", j => (j.Alignment!.Layers.Sample, j.Alignment.Layers.Focus), (new LayerPlacement(1, 0, 1000, 0, 1, -2000), new FocusPlane(9e6, 0.001, -0.002))),
        ("order: {by: spread}", j => j.Order, new OrderOptions(WritingOrder.Spread, DoseOrder.Mixed, 30_000)),
        ("", j => j.Looks, null),
        (
            "looks: {below: [a.layout], marks: m, at: {A: [1 um, 2 um], B: [3 um, 4 um]}, window: 8 um, step: 80 nm, dwell: 2 s, within: 2 um, looks: 3}",
            j => (j.Looks!.Below[0].Path, j.Looks.MarksLayer, j.Looks.Marks[1], j.Looks.WindowNanometres, j.Looks.StepNanometres, j.Looks.DwellSeconds, j.Looks.WithinNanometres, j.Looks.Looks),
            ("a.layout", "m", new LookMark("B", 3000, 4000), 8000.0, 80.0, 2.0, 2000.0, 3)),
        ("", j => j.Layers.Length, 0),
        ("layers: [{layer: a, bias: -3 nm, area_dose: 200 uC/cm2, line_dose: 2 nC/cm, dot_charge: 3 fC}]", j => j.Layers[0].BiasNanometres, -3.0),
        ("layers: [{layer: a, dose_factor: 2000}]", j => j.Layers[0].DoseFactor.Millionths, 2_000_000_000),
        ("layers: [{layer: a, values: dose factors}]", j => j.Layers[0].Relief, null),
        ("layers: [{layer: a, values: heights}]", j => j.Layers[0].Relief, new LayerRelief(ReliefValues.Heights)),
        ("layers: [{layer: a, values: depths}]", j => j.Layers[0].Relief, new LayerRelief(ReliefValues.Depths)),
        ("layers: [{layer: a, height: 40 %}]", j => j.Layers[0].Relief, new LayerRelief(ReliefValues.Heights, 0.4)),
        ("layers: [{layer: a}]", j => (j.Layers[0].DoseFactor.Millionths, j.Layers[0].BiasNanometres, j.Layers[0].AreaDoseCoulombsPerSquareMetre), (1_000_000, (double?)null, (double?)null)),
        ("", j => (j.Markers, j.IsStrict, j.HidesTravel), (false, false, false)),
        ("markers: yes", j => (j.Markers, j.IsStrict, j.HidesTravel), (true, false, false)),
        ("strict: yes", j => (j.Markers, j.IsStrict, j.HidesTravel), (false, true, false)),
        ("order: {travel: hidden}", j => (j.Markers, j.IsStrict, j.HidesTravel), (false, false, true)),
        ("", j => (j.Report, j.Keep), ((PatternCompiler.Jobs.JobReport?)null, new KeptDocuments(null, null, null, null, false))),
        ("keep: {layout: a.layout, figures: b.figures}", j => j.Keep, new KeptDocuments("a.layout", "b.figures", null, null, false)),
        ("keep: {strokes: c.strokes, records: d.records, binary: yes}", j => j.Keep, new KeptDocuments(null, null, "c.strokes", "d.records", true)),
        ("outputs: [{file: a, format: stream}]", j => j.Outputs[0].Format, OutputFormat.Stream),
        ("outputs: [{file: a, format: words}]", j => j.Outputs[0].Format, OutputFormat.Words),
        ("outputs: [{file: a, format: records}]", j => j.Outputs[0].Format, OutputFormat.Records),
        ("outputs: [{file: a, format: volts}]", j => j.Outputs[0].Format, OutputFormat.Volts),
        ("report: a.html", j => (j.Report!.Path, j.Report.Centre, j.Report.WidthNanometres), ("a.html", ((double, double)?)null, (double?)null)),
        ("report: {file: a.html, centre: [1 um, -2 um], width: 3 um}", j => (j.Report!.Path, j.Report.Centre, j.Report.WidthNanometres), ("a.html", ((double, double)?)(1000.0, -2000.0), (double?)3000.0)),
        ("limits: {text: 5, points: 0}", j => (j.Limits[Kind("text")], j.Limits[Kind("points")], j.Limits[Kind("strokes")]), (5L, 0L, WorkLimits.Usual[Kind("strokes")])),
    ];

    private static readonly (string Yaml, Func<JobSource, object?> Value, object? Expected)[] Sources =
    [
        ("", s => (s.Reading.UnitNanometres, s.Placement.LayerPrefix, s.Reading.TextAsStrokes, s.Reading.TopCell), ((double?)null, "", (bool?)null, (string?)null)),
        ("unit: um", s => s.Reading.UnitNanometres, 1000.0),
        ("unit: 25.4 um", s => s.Reading.UnitNanometres, 25_400.0),
        ("unit: .5 nm", s => s.Reading.UnitNanometres, 0.5),
        ("unit: +2 nm", s => s.Reading.UnitNanometres, 2.0),
        ("offset: [3 um, 0 um]", s => (s.Placement.OffsetXNanometres, s.Placement.OffsetYNanometres, s.Placement == SourcePlacement.AsDrawn), (3000.0, 0.0, false)),
        ("offset: [0 um, -4 um]", s => (s.Placement.OffsetXNanometres, s.Placement.OffsetYNanometres, s.Placement == SourcePlacement.AsDrawn), (0.0, -4000.0, false)),
        ("rotate: 30 deg", s => (s.Placement.RotationDegrees, s.Placement == SourcePlacement.AsDrawn), (30.0, false)),
        ("offset: [0 um, 0 um]", s => (s.Placement.RotationDegrees, s.Placement == SourcePlacement.AsDrawn), (0.0, true)),
        ("join_gap: 0 nm", s => s.Reading.JoinGapNanometres, 0.0),
        ("open_outlines: lines", s => s.Reading.OpenOutlines, OpenOutlines.AsLines),
        ("open_outlines: error", s => s.Reading.OpenOutlines, OpenOutlines.AsError),
        ("nested_outlines: filled", s => s.Reading.NestedOutlines, NestedOutlines.Filled),
        ("nested_outlines: holes", s => s.Reading.NestedOutlines, NestedOutlines.Holes),
        ("text: strokes", s => s.Reading.TextAsStrokes, true),
        ("text: ignored", s => s.Reading.TextAsStrokes, false),
        ("svg_layers: group", s => s.Reading.SvgLayerNaming, SvgLayerNaming.ByGroup),
        ("svg_layers: colour", s => s.Reading.SvgLayerNaming, SvgLayerNaming.ByColour),
        ("", s => (s.Reading.Image.ExposesLight, s.Reading.Image.Threshold, s.Reading.Image.DoseLevels), (false, 0.5, 1)),
        ("image_exposes: light", s => s.Reading.Image.ExposesLight, true),
        ("image_exposes: dark", s => s.Reading.Image.ExposesLight, false),
        ("image_levels: 255", s => s.Reading.Image.DoseLevels, 255),
    ];

    private static readonly (string Yaml, Func<FieldSettings, object?> Value, object? Expected)[] Fields =
    [
        ("size: 90 um", f => (f.Options.WidthNanometres, f.Options.HeightNanometres, f.Options.MarginNanometres), (90_000.0, 90_000.0, 4000.0)),
        ("width: 90 um, height: 50 um", f => (f.Options.WidthNanometres, f.Options.HeightNanometres, f.Options.MarginNanometres), (90_000.0, 50_000.0, 4000.0)),
        ("size: 90 um", f => (f.Options.Seam, f.Options.SeamWidthNanometres, f.Options.TaperSteps, f.Options.Order, f.ManifestPath), (SeamKind.Butt, 0.0, 8, StageOrder.Serpentine, (string?)null)),
        ("size: 90 um, seam: edge to edge, order: serpentine", f => (f.Options.Seam, f.Options.Order), (SeamKind.Butt, StageOrder.Serpentine)),
        ("size: 90 um, seam: overlap, seam_width: 2 um, order: rows", f => (f.Options.Seam, f.Options.SeamWidthNanometres, f.Options.Order), (SeamKind.Overlap, 2000.0, StageOrder.Rows)),
        ("size: 90 um, seam: taper, seam_width: 1 um, taper_steps: 1000, order: shortest", f => (f.Options.Seam, f.Options.TaperSteps, f.Options.Order), (SeamKind.Taper, 1000, StageOrder.Shortest)),
        ("size: 90 um, first: [1 um, -2 um]", f => f.Options.FirstCentreNanometres, (1000.0, -2000.0)),
        ("size: 90 um, manifest: m.yaml", f => f.ManifestPath, "m.yaml"),
        ("size: 90 um, marks: {layer: m}", f => (f.Options.Marks!.Layer, f.Options.Marks.AreFirst), ("m", true)),
        ("size: 90 um, marks: {layer: m, written: last}", f => f.Options.Marks!.AreFirst, false),
        ("size: 90 um, marks: {layer: m, size: 4 um, bar: 1 um, at: [[1 um, 2 um]]}", f => (f.Options.Marks!.Shape, f.Options.Marks.SizeNanometres, f.Options.Marks.BarNanometres, f.Options.Marks.Places[0]), (MarkShape.Cross, 4000.0, 1000.0, (1000.0, 2000.0))),
        ("size: 90 um, marks: {layer: m, size: 4 um, shape: square, at: [[1 um, 2 um]]}", f => (f.Options.Marks!.Shape, f.Options.Marks.BarNanometres), (MarkShape.Square, 4000.0)),
    ];

    [Fact]
    public void Every_setting_of_a_job_is_read() => AssertAll(Settings, yaml => JobFile.Parse($"job: a\n{yaml}\n", null));

    [Fact]
    public void Every_setting_of_a_drawing_is_read() =>
        AssertAll(Sources, yaml => JobFile.Parse($"job: a\nsources: [{{file: a{(yaml.Length > 0 ? ", " : "")}{yaml}}}]\n", null).Sources[0]);

    [Fact]
    public void Every_setting_of_write_fields_is_read() =>
        AssertAll(Fields, yaml => JobFile.Parse($"job: a\nfields: {{{yaml}, margin: 4 um}}\n", null).Fields!);

    private static WorkKind Kind(string key) => WorkKind.All.Single(kind => kind.Key == key);

    private static void AssertAll<T>((string Yaml, Func<T, object?> Value, object? Expected)[] settings, Func<string, T> read)
    {
        string[] wrong =
        [
            .. settings.Select(s => (s.Yaml, s.Expected, Read: s.Value(read(s.Yaml)))).Where(s => !Equals(s.Expected, s.Read))
                .Select(s => $"'{s.Yaml}' is {s.Read}, not {s.Expected}"),
        ];
        Assert.Empty(wrong);
    }
}
