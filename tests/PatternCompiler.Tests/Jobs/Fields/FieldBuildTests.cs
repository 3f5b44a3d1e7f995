using System.Security.Cryptography;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Prediction.Stray;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs.Fields;

public sealed class FieldBuildTests
{
    private const string Chip = """
        layout 1
        unit um
        layer bars
        rect on bars from (0, 0) to (30, 0.2)
        rect on bars from (0, 5) to (0.4, 5.4)
        rect on bars from (28, 5) to (28.4, 5.4)
        """;

    private static readonly FieldOptions Fields = new(20_000, 20_000, 4000)
    {
        Marks = new FieldMarks("crosses", true) { Places = [(-9000, 9000)], SizeNanometres = 1000, BarNanometres = 100 },
    };

    private static readonly Stage Stage = new(1e6, 3) { OriginNanometres = (5e6, 7e6), InvertX = true };

    private static BuildSettings Settings(Stage? stage, params OutputFormat[] formats) => new(
        DefaultFiles.Job with
        {
            Name = "row: 1",
            Sources = [new JobSource("chip.layout")],
            Outputs = [.. formats.Select(format => new JobOutput("out/chip." + format, format))],
            Keep = new KeptDocuments(null, "k/chip.figures", null, "k/chip.records", false),
            Fields = new FieldSettings(Fields, null),
        },
        DefaultFiles.Machine with { Stage = stage },
        DefaultFiles.Process);

    private static (BuildSummary Summary, MemoryFiles Files, DiagnosticSink Sink) Build(BuildSettings settings)
    {
        MemoryFiles files = new MemoryFiles().With("chip.layout", Chip);
        var sink = new DiagnosticSink();
        return (BuildRunner.Run(settings, files, sink, CancellationToken.None), files, sink);
    }

    [Fact]
    public void Every_field_has_its_outputs_and_the_manifest_lists_them()
    {
        (BuildSummary summary, MemoryFiles files, _) = Build(Settings(Stage, OutputFormat.Stream, OutputFormat.Wave));
        Assert.Equal(
            ["k/chip-r01c01.records", "k/chip-r01c02.records", "k/chip.figures", "out/chip-fields.yaml", "out/chip-r01c01.Stream", "out/chip-r01c01.Wave", "out/chip-r01c02.Stream", "out/chip-r01c02.Wave"],
            files.Written.Keys.Order(StringComparer.Ordinal));
        Assert.Equal(
            ["out/chip-r01c01.Stream", "out/chip-r01c01.Wave", "out/chip-r01c02.Stream", "out/chip-r01c02.Wave"], files.IsBinary.Where(output => output.Value).Select(output => output.Key).Order(StringComparer.Ordinal));
        Assert.Equal(files.Written.Keys.Order(StringComparer.Ordinal), summary.Files.Select(file => file.Path).Order(StringComparer.Ordinal));
        FieldManifest manifest = FieldManifestFile.Parse(Encoding.UTF8.GetString(files.Written["out/chip-fields.yaml"]), "m");
        Assert.Equal(("row: 1", 2), (manifest.JobName, manifest.Visits.Length));
        foreach (FieldFile file in manifest.Visits.SelectMany(visit => visit.Files))
        {
            byte[] bytes = files.Written[file.Path.StartsWith("..", StringComparison.Ordinal) ? file.Path[3..] : "out/" + file.Path];
            Assert.Equal((bytes.Length, Convert.ToHexStringLower(SHA256.HashData(bytes))), (file.Bytes, file.Hash));
        }
    }

    [Fact]
    public void The_manifest_tells_readings_and_times()
    {
        (BuildSummary summary, MemoryFiles files, _) = Build(Settings(Stage, OutputFormat.Stream));
        FieldManifest manifest = FieldManifestFile.Parse(Encoding.UTF8.GetString(files.Written["out/chip-fields.yaml"]), "m");

        // 30 um by fields of 20 um that share 4 um: centres at 15 -+ 8 um. The stage runs backwards from 5 mm, at 1 mm/s.
        Assert.Equal([(7.0, 2.7), (23.0, 2.7)], manifest.Visits.Select(visit => (visit.Field.Centre.X / 10_000.0, visit.Field.Centre.Y / 10_000.0)));
        Assert.Equal([4_993_000.0, 4_977_000.0], manifest.Visits.Select(visit => visit.StageXNanometres));
        Assert.Equal([7_002_700.0, 7_002_700.0], manifest.Visits.Select(visit => visit.StageYNanometres));
        Assert.Equal([0, 3.016], manifest.Visits.Select(visit => visit.MoveSeconds));
        Assert.Equal(3.016, summary.Estimate.Stage!.MoveSeconds, 12);
        Assert.Equal(summary.Estimate.TotalSeconds, manifest.WriteSeconds!.Value + manifest.MoveSeconds, 4);
    }

    [Fact]
    public void Charge_is_that_of_the_whole_and_of_the_marks()
    {
        (BuildSummary summary, _, _) = Build(Settings(Stage, OutputFormat.Stream));
        double area = (30 * 0.2) + (2 * 0.4 * 0.4) + (2 * ((2 * 1 * 0.1) - (0.1 * 0.1)));
        Assert.Equal(area * 1e-12 * DefaultFiles.Process.AreaDoseCoulombsPerSquareMetre, summary.Strokes.ChargeCoulombs, 1e-20);
    }

    [Fact]
    public void Without_a_stage_it_is_said_that_moves_do_not_count()
    {
        (BuildSummary summary, _, DiagnosticSink sink) = Build(Settings(null, OutputFormat.Stream));
        Assert.Equal(0, summary.Estimate.Stage!.MoveSeconds);
        Assert.Contains(
            "note PC1707: the machine file does not describe the stage, so its moves are counted as no time; add 'stage' to the machine file",
            sink.Collected.Select(message => message.ToString()));
    }

    [Fact]
    public void A_field_beyond_the_stage_is_an_error_and_leaves_nothing()
    {
        MemoryFiles files = new MemoryFiles().With("chip.layout", Chip);
        BuildSettings settings = Settings(Stage with { RangeXNanometres = (4_980_000, 1e7) }, OutputFormat.Stream);
        CompileException fault = Assert.Throws<CompileException>(() => BuildRunner.Run(settings, files, new DiagnosticSink(), CancellationToken.None));
        Assert.Equal(
            "error PC1706: the field r01c02 needs the stage reading (4977, 7002.7) um for its centre (23, 2.7) um, which is beyond its range; place the pattern elsewhere, or correct 'stage' in the machine file",
            fault.Diagnostic.ToString());
        Assert.Empty(files.Written);
    }

    [Fact]
    public void A_field_beyond_the_converters_is_an_error_that_names_it()
    {
        BuildSettings settings = Settings(Stage, OutputFormat.Stream);
        settings = settings with { Machine = settings.Machine with { Deflection = settings.Machine.Deflection with { FieldWidthNanometres = 15_000 } } };
        CompileException fault = Assert.Throws<CompileException>(() => Build(settings));
        Assert.Matches("^figure 0 on layer crosses in field r01c01 at \\([-0-9.]+, [-0-9.]+\\) um: error PC1601: ", fault.Message);
        Assert.EndsWith("; make the write fields smaller ('fields.size' in the job)", fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("-", null, null)]
    [InlineData("out/chip.stream", "-", null)]
    [InlineData("out/chip.stream", null, "-")]
    public void Fields_do_not_go_to_standard_output(string output, string? strokes, string? records)
    {
        BuildSettings settings = Settings(Stage, OutputFormat.Stream);
        settings = settings with
        {
            Job = settings.Job with { Outputs = [new JobOutput(output, OutputFormat.Stream)], Keep = new KeptDocuments(null, null, strokes, records, false) },
        };
        Assert.Equal(
            "error PC1702: the write fields of a job cannot all go to standard output; name a file, which every field gets with its own name added, or use 'patternc split --field'",
            Assert.Throws<CompileException>(() => Build(settings)).Message);
    }

    [Fact]
    public void Messages_of_many_fields_are_told_once()
    {
        var messages = new FieldMessages();
        foreach (int column in new[] { 0, 1, 2 })
        {
            DiagnosticSink field = messages.SinkOf(new WriteField(0, column, $"r01c0{column + 1}", default, default));
            field.Note(FieldCodes.Bent, $"{column + 1} sides", new SourcePlace(null, Entity: "figure 7"));
            if (column == 1)
            {
                field.Warn(FieldCodes.CannotPlace, "here alone", fix: "fix it");
            }
        }

        var sink = new DiagnosticSink();
        messages.ReportTo(sink);
        Assert.Equal(
            ["figure 7 in field r01c01: note PC1708: 1 sides (and so in 2 more fields)", "field r01c02: warning PC1703: here alone; fix it"],
            sink.Collected.Select(message => message.ToString()));
    }

    [Fact]
    public void A_report_shows_the_whole_pattern()
    {
        BuildSettings settings = Settings(Stage, OutputFormat.Stream);
        settings = settings with { Job = settings.Job with { Report = new JobReport("out/report.html") } };
        (_, MemoryFiles files, _) = Build(settings);
        string page = Encoding.UTF8.GetString(files.Written["out/report.html"]).Replace("<wbr>", "", StringComparison.Ordinal);
        Assert.Contains("chip-r01c02.Stream", page, StringComparison.Ordinal);
        Assert.Contains("chip-fields.yaml", page, StringComparison.Ordinal);
        Assert.Contains("Strokes and jumps", page, StringComparison.Ordinal);
        Assert.Contains("Where most edges lie: the strokes of all write fields.", page, StringComparison.Ordinal);
        Assert.Contains("Moves of the stage <span class=\"given\">2\u00A0write fields</span>", page, StringComparison.Ordinal);

        // Strokes of all fields stand where the pattern has them, or they would print beside it.
        Assert.Contains("Simulated from the strokes of all write fields", page, StringComparison.Ordinal);
        Assert.Contains("<th scope=\"row\">Places without a printed edge</th>\n<td class=\"number\">0</td>", page, StringComparison.Ordinal);
        Assert.Contains("Shapes: what hangs together as drawn also prints so.", page, StringComparison.Ordinal);
    }

    /// <summary>The near picture of a divided pattern is of its strokes: with other strokes it is another.</summary>
    [Fact]
    public void A_report_shows_the_strokes_from_near()
    {
        string Near(double pitch)
        {
            BuildSettings settings = Settings(Stage, OutputFormat.Stream);
            settings = settings with
            {
                Job = settings.Job with
                {
                    Report = new JobReport("out/report.html") { Centre = (200, 5200), WidthNanometres = 300 },
                    Fill = settings.Job.Fill with { LinePitch = Spacing.FromNanometres(pitch), PointStep = Spacing.FromNanometres(pitch) },
                },
            };
            string page = Encoding.UTF8.GetString(Build(settings).Files.Written["out/report.html"]);
            return System.Text.RegularExpressions.Regex.Match(page, "<img [^>]*Detail[^>]*>").Value;
        }

        Assert.NotEmpty(Near(20));
        Assert.NotEqual(Near(20), Near(40));
    }

    [Fact]
    public void Stray_lines_are_those_of_every_field_on_its_own()
    {
        BuildSettings settings = Settings(Stage, OutputFormat.Stream);
        settings = settings with
        {
            Machine = settings.Machine with { Blanker = new Blanker(false, true, 0, 0, 1), Settle = new SettleModel(10e-6, 4e-6, 2e6), Beam = new Beam(1e-9, 20, 30_000) },
            Job = settings.Job with { Fill = settings.Job.Fill with { LinePitch = Spacing.FromNanometres(40), PointStep = Spacing.FromNanometres(40) } },
        };
        StrayReport strays = Build(settings).Summary.Estimate.Strays!;
        Assert.Equal(["r01c01", "r01c02"], strays.Worst.Select(jump => jump.Field).Distinct().Order(StringComparer.Ordinal));
        Assert.Equal(0, strays.OutsideLengthNanometres);

        // What straight jumps would print is told of all fields together, where jumps are led around.
        StrayReport straight = Build(settings with { Job = settings.Job with { HidesTravel = true } }).Summary.Estimate.StraysIfStraight!;
        Assert.Equal((strays.Printing, strays.PrintedLengthNanometres), (straight.Printing, straight.PrintedLengthNanometres));

        // A strict build refuses what another one only warns about.
        Diagnostic refused = Assert.Throws<CompileException>(() => Build(settings with { Job = settings.Job with { IsStrict = true } })).Diagnostic;
        Assert.Equal((Severity.Error, StrayText.WarningOf(strays)!.Message), (refused.Severity, refused.Message));
    }

    [Fact]
    public void What_fields_have_reported_is_told_before_the_error_of_another()
    {
        // The layer in the second field asks for so little that every dwell is too short.
        BuildSettings settings = Settings(Stage, OutputFormat.Stream);
        settings = settings with { Job = settings.Job with { Fields = settings.Job.Fields! with { Options = Fields with { Marks = null } } } };
        var sink = new DiagnosticSink();
        MemoryFiles files = new MemoryFiles().With("chip.layout", """
            layout 1
            unit um
            layer bars
            rect on bars from (0, 0) to (0.4, 0.4)
            rect on bars from (2, 0) to (2.001, 0.001)
            layer strong
            rect on strong from (30, 0) to (30.4, 0.4)
            """);
        settings = settings with
        {
            Job = settings.Job with { Layers = [new LayerSettings("strong", new DoseFactor(1_000), DefaultFiles.Job.Fill)] },
        };
        Assert.Throws<CompileException>(() => BuildRunner.Run(settings, files, sink, CancellationToken.None));
        Assert.Contains(sink.Collected, message => message.Code == FillCodes.LeftOutFigures);
    }

    /// <summary>The fields of a manifest are run from their places on the pattern, with figures counted through all of them.</summary>
    [Fact]
    public void A_manifest_runs_its_fields_where_they_lie()
    {
        BuildSettings settings = Settings(Stage, OutputFormat.Wave);
        (_, MemoryFiles built, _) = Build(settings);
        FieldManifest manifest = FieldManifestFile.Parse(Encoding.UTF8.GetString(built.Written["out/chip-fields.yaml"]), "m");
        var files = new MemoryFiles();
        foreach (string field in new[] { "r01c01", "r01c02" })
        {
            files.With($"out/../k/chip-{field}.records", Encoding.UTF8.GetString(built.Written[$"k/chip-{field}.records"]));
        }

        var watch = new PositionWatch();
        var pipeline = new Pipeline(settings, files, new DiagnosticSink(), CancellationToken.None);
        pipeline.Run(new PipelineInput(DocumentKind.Manifest, new MemoryStream(built.Written["out/chip-fields.yaml"]), "out/chip-fields.yaml"), [watch]);
        int first = manifest.Visits[0].Figures;
        Assert.NotEqual(0, first);
        Assert.Equal(
            [("r01c01", 7_000_000_000, 2_700_000_000, 0, 4_993_000.0, 7_002_700.0, 0.0), ("r01c02", 23_000_000_000, 2_700_000_000, first, 4_977_000, 7_002_700, 3.016)],
            watch.Positions.Select(at => (at.Field!.Name, at.XFemtometres, at.YFemtometres, at.FirstFigure, at.StageXNanometres, at.StageYNanometres, at.MoveSeconds)));
        Assert.Equal(manifest.Visits.Select(visit => visit.Figures), watch.Parts.Select(part => part.Figures));

        // What is told behind the last field is about none of them.
        ItemPlace later = pipeline.Places.Complete(SourcePlace.OfPoint("bars", 1, 2)).Item!;
        Assert.Equal((null, 1.0, 2.0), (later.Field, later.XNanometres, later.YNanometres));
    }

    /// <summary>What is told of a field's figures after the pattern was divided is told where they lie on the pattern.</summary>
    [Fact]
    public void Figures_of_fields_are_placed_on_the_pattern()
    {
        var pipeline = new Pipeline(Settings(Stage, OutputFormat.Stream), new MemoryFiles().With("chip.layout", Chip), new DiagnosticSink(), CancellationToken.None);
        DividedPattern divided = pipeline.Split(pipeline.Fracture(pipeline.Flatten(pipeline.Layout())))!;
        Assert.True(divided.Plan.Fields.Length > 1);
        foreach ((WriteField field, FiguresDocument part) in divided.Plan.Fields.Zip(divided.Figures))
        {
            SourcePlace inField = SourcePlace.OfFigure(0);
            ItemPlace told = pipeline.Places.Complete(inField with { Item = inField.Item! with { Field = field.Name } }).Item!;
            (double x, double y) = FigureCorners.InnerPoint(part.Figures[0]);
            Assert.Equal((field.Centre.X + x) / 10, told.XNanometres!.Value, 1e-6);
            Assert.Equal((field.Centre.Y + y) / 10, told.YNanometres!.Value, 1e-6);
            Assert.Equal(field.Name, told.Field);
        }
    }

    private sealed class PositionWatch : ExposureWatcher
    {
        public List<StagePosition> Positions { get; } = [];

        public List<ExposedPart> Parts { get; } = [];

        public override void Begin(StagePosition position) => Positions.Add(position);

        public override void End(ExposedPart part) => Parts.Add(part);
    }

    [Fact]
    public void A_strict_build_goes_through_all_fields()
    {
        BuildSettings settings = Settings(Stage, OutputFormat.Stream);
        (BuildSummary summary, _, _) = Build(settings with { Job = settings.Job with { IsStrict = true } });
        Assert.Equal(2, summary.Estimate.Stage!.Fields);
    }
}
