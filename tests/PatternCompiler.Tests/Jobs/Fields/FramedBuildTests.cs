using System.Globalization;
using System.Text;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Tests.Jobs.Fields;

/// <summary>
/// Jobs of several fields with a stage that is not the pattern's frame: what the manifest says and what the streams hold must together put every
/// field's square where the drawing has it, worked out from the written codes alone.
/// </summary>
public sealed class FramedBuildTests
{
    private const double FieldNanometres = 100_000;
    private const double NanometresPerCode = FieldNanometres / 65536;
    private const string Stage = "stage: {settle: 1 s, speed: 1 mm/s, step: 1 um, origin: [1234.5 um, -77 um], rotation: 1 deg, scale: [1.003, 0.998], skew: 0.4 %, invert_y: yes, backlash: [3 um, 3 um], approach: [10 um, 10 um]}\n";

    // Squares in four fields, far from seams.
    private static readonly (double X, double Y)[] Squares = [(-40, -50), (50, -50), (-40, 45), (50, 45)];

    [Theory]
    [InlineData("")]
    [InlineData("sample: {offset: [35.4 um, -20.2 um], rotation: -2 deg}\n")]
    public void Readings_and_codes_together_put_every_square_where_it_belongs(string sample)
    {
        (MemoryFiles files, BuildSettings settings, _) = Build(Stage, sample);
        Stage stage = settings.Machine.Stage!;
        FieldManifest manifest = Manifest(files);
        Assert.Equal(4, manifest.Visits.Length);
        LayerPlacement placed = sample.Length == 0 ? LayerPlacement.Identity : LayerPlacement.Of(35_400, -20_200, -2, 1, 1, 0);
        foreach (FieldVisit visit in manifest.Visits)
        {
            Assert.Equal((Math.Round(visit.StageXNanometres / 1000) * 1000, Math.Round(visit.StageYNanometres / 1000) * 1000), (visit.StageXNanometres, visit.StageYNanometres));
            Assert.Equal((visit.StageXNanometres - 10_000, visit.StageYNanometres - 10_000), visit.Details.StartNanometres);
            (double underX, double underY) = stage.PlaceAt(visit.StageXNanometres, visit.StageYNanometres);
            (double codeX, double codeY) = MiddleOf(files.Written[visit.Files[0].Path]);
            (double x, double y) = (underX + ((codeX - 32767.5) * NanometresPerCode), underY + ((codeY - 32767.5) * NanometresPerCode));
            (double X, double Y) square = Squares.MinBy(s => Math.Abs((s.X * 1000) - (visit.Field.Centre.X * 0.1)) + Math.Abs((s.Y * 1000) - (visit.Field.Centre.Y * 0.1)));
            (double wantedX, double wantedY) = placed.Land(square.X * 1000, square.Y * 1000);
            Assert.Equal(wantedX, x, 4 * NanometresPerCode);
            Assert.Equal(wantedY, y, 4 * NanometresPerCode);
        }
    }

    /// <summary>10 mm is the height of the calibration; a millimetre further the field is a tenth wider, so that codes are a tenth closer.</summary>
    [Fact]
    public void A_field_that_is_wider_at_its_height_is_asked_for_less()
    {
        const string Tall = "stage: {settle: 1 s, height: {focus: 10 mm, scale_per_mm: 10 %}}\n";
        (MemoryFiles low, _, _) = Build(Tall, "sample: {focus: {at_origin: 10 mm}}\n");
        (MemoryFiles high, _, _) = Build(Tall, "sample: {focus: {at_origin: 11 mm}}\n");
        FieldManifest manifest = Manifest(high);
        Assert.All(manifest.Visits, visit => Assert.Equal(11e6, visit.Details.FocusNanometres));
        foreach (FieldVisit visit in manifest.Visits)
        {
            (double lowX, double lowY) = MiddleOf(low.Written[visit.Files[0].Path]);
            (double highX, double highY) = MiddleOf(high.Written[visit.Files[0].Path]);
            Assert.Equal((lowX - 32767.5) / 1.1, highX - 32767.5, 2.0);
            Assert.Equal((lowY - 32767.5) / 1.1, highY - 32767.5, 2.0);
        }
    }

    [Fact]
    public void A_height_beyond_use_is_refused() => Assert.Contains(
        "error PC1711: write field r01c01 is in focus at 17 mm, and the field is known about 10 mm",
        Assert.Throws<CompileException>(() => Build("stage: {settle: 1 s, height: {focus: 10 mm, scale_per_mm: 20 %}}\n", "sample: {focus: {at_origin: 17 mm}}\n")).Message,
        StringComparison.Ordinal);

    [Fact]
    public void Documents_of_one_field_are_of_no_use_alone_where_the_stage_leaves_something()
    {
        (_, BuildSettings settings, _) = Build(Stage, "");
        Assert.True(settings.NeedsField);
        Assert.Contains("the deflection makes up for where the stage stands in each write field", Assert.Throws<CompileException>(() => AlignmentCheck.Known(settings)).Message, StringComparison.Ordinal);
        Assert.False((settings with { Machine = settings.Machine with { Stage = settings.Machine.Stage! with { Frame = null, OriginNanometres = (1e6, -77_000) } } }).NeedsField);
    }

    /// <summary>The digest of records tells the stage whose remainders they hold, and no other.</summary>
    [Fact]
    public void Records_know_the_stage_that_they_were_made_for()
    {
        (_, BuildSettings settings, _) = Build(Stage, "");
        Machine machine = settings.Machine;
        Assert.NotEqual(SettingsDigests.Of(machine), SettingsDigests.Of(machine with { Stage = machine.Stage! with { OriginNanometres = (1_234_600, -77_000) } }));
        Assert.Equal(SettingsDigests.Of(machine), SettingsDigests.Of(machine with { Stage = machine.Stage with { SettleSeconds = 2, ApproachNanometres = null } }));
        Machine plain = machine with { Stage = machine.Stage with { Frame = null, OriginNanometres = (1e6, 0) } };
        Assert.Equal(SettingsDigests.Of(machine with { Stage = null }), SettingsDigests.Of(plain));
    }

    [Fact]
    public void The_estimate_tells_the_readings()
    {
        (_, _, BuildSummary summary) = Build(Stage, "");
        Assert.NotNull(summary.Estimate.Stage!.Readings);
        Assert.Contains("\nstage readings        x 1", EstimateText.Format(summary.Estimate), StringComparison.Ordinal);
    }

    private static FieldManifest Manifest(MemoryFiles files) => FieldManifestFile.Parse(Encoding.UTF8.GetString(files.Written["fields.yaml"]), "fields.yaml");

    private static (MemoryFiles Files, BuildSettings Settings, BuildSummary Summary) Build(string stage, string sample)
    {
        string drawing = "layout 1\nunit um\nlayer a\n" + string.Concat(Squares.Select(s => string.Create(CultureInfo.InvariantCulture, $"rect on a from ({s.X - 0.5}, {s.Y - 0.5}) to ({s.X + 0.5}, {s.Y + 0.5})\n")));
        MemoryFiles files = new MemoryFiles().With("a.layout", drawing);
        var settings = new BuildSettings(
            JobFile.Parse($"job: framed\nsources: [a.layout]\nfields: {{size: 80 um, margin: 5 um, manifest: fields.yaml}}\n{sample}outputs: [{{file: a.stream, format: stream}}]\n", file: null),
            MachineFile.Parse(DefaultFiles.MachineText + "\n" + stage, "machine.yaml"),
            DefaultFiles.Process);
        BuildSummary summary = BuildRunner.Run(settings, files, new DiagnosticSink(), CancellationToken.None);
        return (files, settings, summary);
    }

    // The middle of what a square's lines and points cover.
    private static (double X, double Y) MiddleOf(byte[] stream)
    {
        var seen = new CodeExtent();
        ExposureStreamReader.Read(new MemoryStream(stream), "a.stream", seen, new DiagnosticSink(), CancellationToken.None);
        return ((seen.LowestX + seen.HighestX) / 2.0, (seen.LowestY + seen.HighestY) / 2.0);
    }

    private sealed class CodeExtent : IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        public int LowestX { get; private set; } = int.MaxValue;

        public int HighestX { get; private set; } = int.MinValue;

        public int LowestY { get; private set; } = int.MaxValue;

        public int HighestY { get; private set; } = int.MinValue;

        public void Begin(RecordsHeader header)
        {
        }

        public void Write(ReadOnlySpan<DeflectionRecord> items)
        {
            foreach (DeflectionRecord record in items)
            {
                if (record.Kind is RecordKind.Line or RecordKind.Dot)
                {
                    See(record.X, record.Y);
                    See(record.EndX, record.EndY);
                }
            }
        }

        public void End()
        {
        }

        private void See(int atX, int atY)
        {
            (LowestX, HighestX) = (Math.Min(LowestX, atX), Math.Max(HighestX, atX));
            (LowestY, HighestY) = (Math.Min(LowestY, atY), Math.Max(HighestY, atY));
        }
    }
}
