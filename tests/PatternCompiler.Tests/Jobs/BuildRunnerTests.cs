using System.Text;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fill.Automatic;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Jobs;

public sealed class BuildRunnerTests
{
    private const string Chip = """
        layout 1
        unit um
        layer pads
        layer fingers
        rect on pads from (0, 0) to (3, 2)
        rect on pads from (2, 1) to (4, 3) dose 1.1
        circle on fingers at (-2, -1) radius 0.8
        ring on fingers at (3, -3) inner 0.5 outer 0.7
        path on fingers width 0.2 (-4, 0) (-3, 1) (-3, 3)
        line on fingers (-1, -1) (0.5, -2) (1, -2)
        dot on fingers at (4, 4)
        """;

    private static readonly KeptDocuments KeepAll = new("k.layout", "k.figures", "k.strokes", "k.records", false);

    private static BuildSettings Settings(Job job, int bits = 16) => new(
        job with { Sources = [new JobSource("chip.layout")], Outputs = [new JobOutput("chip.stream", OutputFormat.Stream)] },
        DefaultFiles.Machine with { Dac = DefaultFiles.Machine.Dac with { Bits = bits } },
        DefaultFiles.Process);

    private static BuildSummary Build(BuildSettings settings, MemoryFiles files) =>
        BuildRunner.Run(settings, files, new DiagnosticSink(), CancellationToken.None);

    private static MemoryStream Rewound(MemoryStream stream)
    {
        stream.Position = 0;
        return stream;
    }

    /// <summary>The chain of single stages, every document passing through its text form as in a pipe.</summary>
    internal static Dictionary<string, byte[]> RunStages(BuildSettings settings, string drawing)
    {
        (Job job, Machine machine, Resist process) = settings;
        var sink = new DiagnosticSink();
        CancellationToken cancellation = CancellationToken.None;
        MemoryStream layoutText = new(), figuresText = new(), strokesText = new(), recordsText = new(), stream = new();

        // parse
        LayoutDocument read = DrawingReader.Read(
            new MemoryStream(Encoding.UTF8.GetBytes(drawing)), "chip.layout", StageOptions.Drawing(job, job.Sources[0]), sink, cancellation);
        LayoutWriter.Write(LayoutStage.Place(job, SourceAssembly.Run([(read, job.Sources[0])]), sink, cancellation), layoutText);

        // fracture
        LayoutDocument layout = DrawingReader.Read(Rewound(layoutText), "-", StageOptions.Drawing(job, new JobSource("-")), sink, cancellation);
        FiguresDocument cut = FracturePass.Run(
            FlattenPass.Run(layout, StageOptions.Flatten(job), sink, cancellation), StageOptions.Fracture(job), sink, cancellation);
        var figuresWriter = new FiguresTextWriter(figuresText);
        if (StageOptions.Correction(job, machine, process) is ProximityOptions correction)
        {
            (cut, _) = ProximityPass.Run(cut, correction, sink, cancellation);
        }

        figuresWriter.Begin(cut.Header);
        figuresWriter.Write([.. cut.Figures]);
        figuresWriter.End();

        // fill
        FiguresDocument figures = FiguresReader.Read(Rewound(figuresText), "-", sink, cancellation);
        (FillOptions fill, _) = SpacingPass.Run(figures, StageOptions.Fill(job, machine, process), sink, cancellation);
        StrokesStage.Write(figures, fill, null, StageOptions.Park(machine), new StrokesTextWriter(strokesText), sink, cancellation);

        // scale
        var scale = new ScalePass(StageOptions.Scale(job, machine), new RecordsTextWriter(recordsText));
        StrokesReader.Read(Rewound(strokesText), "-", scale, sink, cancellation);

        // emit
        RecordsReader.Read(Rewound(recordsText), "-", new ExposureStreamWriter(stream, StreamProfile.Lines), sink, cancellation);
        return new()
        {
            ["k.layout"] = layoutText.ToArray(),
            ["k.figures"] = figuresText.ToArray(),
            ["k.strokes"] = strokesText.ToArray(),
            ["k.records"] = recordsText.ToArray(),
            ["chip.stream"] = stream.ToArray(),
        };
    }

    [Theory]
    [InlineData("job: test", 16)]
    [InlineData("job: test", 12)]
    [InlineData("job: test\nposition: centred\nmarkers: yes\nfill: {strategy: raster, line_pitch: 3 codes, point_step: 3 codes}", 12)]
    [InlineData("job: test\ncorrect: {tolerance: 2 %}", 16)]
    [InlineData("job: test\nfill: {line_pitch: automatic, point_step: automatic}\nlayers: [{layer: pads, dose_factor: 0.3}]", 16)]
    [InlineData("job: test\nlayers: [{layer: fingers, dose_factor: 1.3, fill: {strategy: one-way lines, direction: y}}]", 14)]
    public void The_chain_of_single_stages_gives_the_same_bytes(string job, int bits)
    {
        BuildSettings settings = Settings(JobFile.Parse(job, null) with { Keep = KeepAll }, bits);
        MemoryFiles files = new MemoryFiles().With("chip.layout", Chip);
        Build(settings, files);
        Dictionary<string, byte[]> stages = RunStages(settings, Chip);
        Assert.Equal(stages.Keys.Order(), files.Written.Keys.Order());
        foreach ((string name, byte[] bytes) in stages)
        {
            Assert.True(bytes.AsSpan().SequenceEqual(files.Written[name]), $"{name} differs");
        }
    }

    /// <summary>Film that stays as it was takes no dose, so no dose chooses a spacing: whatever fills the layer, it is told and not written.</summary>
    [Theory]
    [InlineData("lines")]
    [InlineData("raster")]
    [InlineData("inward contours")]
    public void A_layer_without_dose_needs_no_spacing(string strategy)
    {
        MemoryFiles files = new MemoryFiles().With(
            "chip.layout", "layout 1\nunit um\nlayer pads\nlayer top\nrect on pads at (0, 0) size (4, 2)\nrect on top at (6, 0) size (2, 3)\n");
        Job job = JobFile.Parse(
            $"{{job: a, fill: {{strategy: {strategy}, line_pitch: automatic, point_step: automatic}}, layers: [pads, {{layer: top, height: 100 %}}]}}", null);
        var sink = new DiagnosticSink();
        BuildSummary summary = BuildRunner.Run(
            Settings(job with { Sources = [new JobSource("chip.layout")], Outputs = [new JobOutput("chip.stream", OutputFormat.Stream)] }), files, sink, CancellationToken.None);
        Assert.Equal(2, summary.Figures.Figures);
        Assert.Equal("chip.layout:6 (rect on layer top, figure 1 at (7, 1.5) um): note PC1206: 1 figure without dose not written, first figure 1", Assert.Single(sink.Collected, message => message.Code.Id == "PC1206").ToString());
    }

    [Fact]
    public void The_summary_agrees_with_the_definition_of_dose()
    {
        // 10 um by 10 um are 1e-6 cm2; 300 uC/cm2 on it are 300 pC; 100 pA deliver them in 3 s. Dose is charge per area
        // by definition (M. A. McCord, M. J. Rooks, SPIE Handbook of Microlithography, vol. 1, ch. 2, 1997).
        MemoryFiles files = new MemoryFiles().With("chip.layout", "layout 1\nunit um\nlayer pad\nrect on pad from (-5, -5) to (5, 5)\n");
        BuildSummary summary = Build(Settings(DefaultFiles.Job), files);
        Assert.Equal(3e-10, summary.Strokes.ChargeCoulombs, 1e-19);
        Assert.Equal(3, summary.Estimate.ExposingSeconds, 1e-7);
        Assert.Equal((1, 1), (summary.Figures.Figures, summary.Figures.Trapezoids));
        Assert.Equal((-5000.0, 5000.0), (summary.Figures.XLeftNanometres, summary.Figures.XRightNanometres));
        Assert.Equal(new BuiltFile("chip.stream", "stream", files.Written["chip.stream"].Length), Assert.Single(summary.Files));
    }

    [Fact]
    public void A_correction_needs_a_process_that_tells_how_energy_spreads()
    {
        MemoryFiles files = new MemoryFiles().With("chip.layout", Chip);
        BuildSettings settings = Settings(DefaultFiles.Job with { Correction = CorrectionSettings.Default });
        CompileException error = Assert.Throws<CompileException>(
            () => Build(settings with { Process = settings.Process with { Spread = null } }, files));
        Assert.Equal(
            "error PC0113: the process 'positive PMMA on silicon, 30 kV' does not say how energy spreads, so doses cannot be corrected; "
            + "add 'spread' to the process file; 'patternc init' shows it with literature-typical values",
            error.Message);
        Assert.Empty(files.Written);
        Assert.NotNull(Build(settings, files).Correction);
    }

    [Fact]
    public void A_centred_pattern_has_its_middle_in_the_middle_of_the_field()
    {
        MemoryFiles files = new MemoryFiles().With("chip.layout", "layout 1\nunit um\nlayer pad\nrect on pad from (60, 20) to (150, 40)\n");
        BuildSummary summary = Build(Settings(DefaultFiles.Job with { Position = PatternPosition.Centred }), files);
        Assert.Equal((-45_000.0, 45_000.0), (summary.Figures.XLeftNanometres, summary.Figures.XRightNanometres));
        Assert.Equal((-10_000.0, 10_000.0), (summary.Figures.YBottomNanometres, summary.Figures.YTopNanometres));
    }

    [Fact]
    public void A_pattern_beyond_the_field_leaves_no_output()
    {
        MemoryFiles files = new MemoryFiles().With("chip.layout", "layout 1\nunit um\nlayer pad\nrect on pad from (60, 20) to (150, 40)\n");
        CompileException error = Assert.Throws<CompileException>(() => Build(Settings(DefaultFiles.Job with { Keep = KeepAll }), files));
        Assert.Equal("PC1601", error.Diagnostic.Code.Id);
        Assert.Empty(files.Written);
        Assert.Equal(["k.layout"], files.Discarded);
    }

    [Fact]
    public void A_fault_in_the_last_stage_leaves_no_output()
    {
        // The dose asks for 60 ticks a point (300 uC/cm2 x 20 nm x 10 nm / 100 pA = 6 us); this clock counts to 10.
        BuildSettings settings = Settings(DefaultFiles.Job with { Keep = KeepAll });
        settings = settings with { Machine = settings.Machine with { Clock = new Clock(1e7, 1, 10) } };
        MemoryFiles files = new MemoryFiles().With("chip.layout", Chip);
        Assert.Throws<CompileException>(() => Build(settings, files));
        Assert.Empty(files.Written);
        Assert.Equal(["chip.stream", "k.figures", "k.layout", "k.records", "k.strokes"], files.Discarded.Order());
    }

    [Fact]
    public void A_cancelled_build_leaves_no_output()
    {
        MemoryFiles files = new MemoryFiles().With("chip.layout", Chip);
        Assert.ThrowsAny<OperationCanceledException>(
            () => BuildRunner.Run(Settings(DefaultFiles.Job), files, new DiagnosticSink(), new CancellationToken(canceled: true)));
        Assert.Empty(files.Written);
    }

    [Fact]
    public void A_job_without_a_drawing_is_told_so() => Assert.Equal(
        "error PC0121: the job 'pattern' names no drawing; list them under 'sources' in the job file",
        Assert.Throws<CompileException>(() => Build(
            new BuildSettings(DefaultFiles.Job, DefaultFiles.Machine, DefaultFiles.Process), new MemoryFiles())).Message);

    [Fact]
    public void A_bare_drawing_builds_on_the_built_in_settings()
    {
        MemoryFiles files = new MemoryFiles().With("folder/chip.layout", Chip);
        BuildSummary summary = Build(BuildSettings.ForDrawing("folder/chip.layout"), files);
        Assert.Equal(["chip.stream"], files.Written.Keys);
        Assert.Equal(("chip", "built-in microscope, 16 bit"), (summary.JobName, summary.MachineName));
    }

    [Fact]
    public void Every_output_format_can_be_made_at_once()
    {
        MemoryFiles files = new MemoryFiles().With("chip.layout", Chip);
        BuildSettings settings = Settings(DefaultFiles.Job);
        settings = settings with
        {
            Job = settings.Job with
            {
                Outputs = [.. Enum.GetValues<OutputFormat>().Select(format => new JobOutput($"chip.{format}", format))],
            },
        };
        BuildSummary summary = Build(settings, files);
        Assert.Equal(settings.Job.Outputs.Select(output => output.Path).Order(), files.Written.Keys.Order());
        Assert.All(summary.Files, file => Assert.Equal(file.Bytes, files.Written[file.Path].Length));

        // A terminal takes text and no bytes.
        Assert.Equal(["chip.Array", "chip.Stream", "chip.Wave", "chip.Words"], files.IsBinary.Where(output => output.Value).Select(output => output.Key).Order(StringComparer.Ordinal));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Kept_documents_are_text_or_binary_as_the_job_says(bool isBinary)
    {
        MemoryFiles files = new MemoryFiles().With("chip.layout", Chip);
        BuildSettings settings = Settings(DefaultFiles.Job);
        settings = settings with
        {
            Job = settings.Job with { Keep = new KeptDocuments("k.layout", "k.figures", "k.strokes", "k.records", isBinary), ProvenancePath = "k.json", PlacesPath = "k.places" },
        };
        Build(settings, files);
        string[] kept = [.. files.IsBinary.Keys.Where(path => path.StartsWith("k.", StringComparison.Ordinal)).Order(StringComparer.Ordinal)];
        Assert.Equal(["k.figures", "k.json", "k.layout", "k.places", "k.records", "k.strokes"], kept);
        Assert.Equal(isBinary ? ["k.figures", "k.records", "k.strokes"] : [], kept.Where(path => files.IsBinary[path]));
    }

    /// <summary>What the command line makes of a job is looked at again: no output is an input or another output. Standard output may be both.</summary>
    [Theory]
    [InlineData("chip.layout", "chip.stream", "the output 'chip.layout' would overwrite 'chip.layout', which the job reads")]
    [InlineData("chip.stream", "./chip.layout", "the output './chip.layout' would overwrite 'chip.layout', which the job reads")]
    [InlineData("machine.yaml", "chip.stream", "the output 'machine.yaml' would overwrite 'machine.yaml', which the job reads")]
    [InlineData("a.bin", "a.bin", "the outputs 'a.bin' and 'a.bin' are one file")]
    [InlineData("a.bin", "b.bin", null)]
    [InlineData("-", "b.bin", null)]
    public void Outputs_are_files_of_their_own(string first, string second, string? message)
    {
        BuildSettings settings = Settings(DefaultFiles.Job with { MachinePath = "machine.yaml" });
        settings = settings with { Job = settings.Job with { Outputs = [new JobOutput(first, OutputFormat.Stream), new JobOutput(second, OutputFormat.Words)] } };
        MemoryFiles files = new MemoryFiles().With("chip.layout", Chip);
        Diagnostic? fault = (Record.Exception(() => Build(settings, files)) as CompileException)?.Diagnostic;
        Assert.Equal((message, message is null ? null : "choose another name"), (fault?.Message, fault?.Fix));
        Assert.Equal(message is null ? 2 : 0, files.Written.Count);
    }

    /// <summary>The summary lists every file that the build made, whichever was the last.</summary>
    [Theory]
    [InlineData(true, false, false)]
    [InlineData(false, true, false)]
    [InlineData(false, false, true)]
    public void The_summary_lists_every_file(bool hasPlaces, bool hasReport, bool hasProvenance)
    {
        MemoryFiles files = new MemoryFiles().With("chip.layout", "layout 1\nunit um\nlayer pad\nrect on pad from (-5, -5) to (5, 6)\n");
        BuildSettings settings = Settings(DefaultFiles.Job);
        settings = settings with
        {
            Job = settings.Job with { PlacesPath = hasPlaces ? "k.places" : null, Report = hasReport ? new JobReport("k.html") : null, ProvenancePath = hasProvenance ? "k.json" : null },
        };
        BuildSummary summary = Build(settings, files);
        Assert.Equal(2, summary.Files.Length);
        Assert.Equal(files.Written.Keys.Order(StringComparer.Ordinal), summary.Files.Select(file => file.Path).Order(StringComparer.Ordinal));
        Assert.Equal(hasPlaces ? "places" : hasReport ? "report" : "provenance", summary.Files.Last().Content);
        Assert.Equal(hasReport, summary.Print is not null);
    }

    [Theory]
    [InlineData("rect on a from (-10, -10) to (10, 10)")]
    [InlineData("circle on a at (0, 0) radius 10")]
    public void Filled_areas_take_a_twentieth_of_the_bytes_as_lines(string shape)
    {
        var settings = new BuildSettings(
            DefaultFiles.Job with { Sources = [new JobSource("a.layout")], Outputs = [new JobOutput("a.stream", OutputFormat.Stream)] },
            DefaultFiles.Machine,
            DefaultFiles.Process);
        BuildSummary summary = Build(settings, new MemoryFiles().With("a.layout", $"layout 1\nunit um\nlayer a\n{shape}\n"));
        Assert.True(
            summary.Estimate.PointStreamBytes >= 20 * summary.Estimate.LineStreamBytes,
            $"{summary.Estimate.PointStreamBytes} bytes as points, {summary.Estimate.LineStreamBytes} as lines");
        Assert.Equal(summary.Estimate.LineStreamBytes, Assert.Single(summary.Files).Bytes);
    }

    [Theory]
    [InlineData("job: test")]
    [InlineData("job: test\ncorrect: {tolerance: 2 %}")]
    public void A_spread_that_does_not_suit_the_energy_is_told_once(string job)
    {
        BuildSettings settings = Settings(JobFile.Parse(job, null));
        foreach (double energy in new[] { 10_000.0, 30_000 })
        {
            var sink = new DiagnosticSink();
            Machine machine = settings.Machine with { Beam = settings.Machine.Beam with { EnergyElectronvolts = energy } };
            BuildRunner.Run(settings with { Machine = machine }, new MemoryFiles().With("chip.layout", Chip), sink, CancellationToken.None);
            Assert.Equal(energy < 20_000 ? 1 : 0, sink.Collected.Count(told => told.Code.Id == "PC1606"));
        }
    }
}
