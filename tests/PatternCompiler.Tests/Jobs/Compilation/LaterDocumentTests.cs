using System.Text;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Tests.Jobs.Compilation;

/// <summary>A run that starts at a later document: the same numbers, and only with the settings that the document was made with.</summary>
public sealed class LaterDocumentTests
{
    // 3 um by 2 um off the middle, and a dot: nothing is alike in x and y.
    private const string Chip = "layout 1\nunit um\nlayer pads\nrect on pads from (1, -4) to (4, -2)\ndot on pads at (-5, 3)\n";

    private static readonly BuildSettings Settings = new(
        JobFile.Parse("job: chip\nsources: [chip.layout]\noutputs: [{file: chip.stream, format: stream}]\n", "job.yaml"), DefaultFiles.Machine, DefaultFiles.Process);

    private static readonly Dictionary<DocumentKind, byte[]> Documents = Build();

    [Theory]
    [InlineData(DocumentKind.Figures)]
    [InlineData(DocumentKind.Strokes)]
    [InlineData(DocumentKind.Records)]
    [InlineData(DocumentKind.Stream)]
    internal void Every_start_comes_to_the_numbers_of_the_whole_run(DocumentKind kind)
    {
        ExposureEstimate whole = Judge(Settings, PipelineInput.Drawings).Estimate;
        (ExposureEstimate later, DiagnosticSink sink) = Judge(Settings, Input(kind));
        Assert.True(whole.Points > 1000);
        Assert.Equal(
            (whole.Points, whole.ChargeCoulombs, whole.ExposingSeconds, whole.SettlingSeconds, whole.TotalSeconds),
            (later.Points, later.ChargeCoulombs, later.ExposingSeconds, later.SettlingSeconds, later.TotalSeconds));
        Assert.Empty(sink.Collected);
        Assert.Equal(kind, DocumentKindOf.Head(Documents[kind].AsSpan(0, DocumentKindOf.HeadBytes)));
    }

    /// <summary>Who watches is told where a part begins and ends, whatever it starts from, and what it holds.</summary>
    [Theory]
    [InlineData(DocumentKind.Figures)]
    [InlineData(DocumentKind.Strokes)]
    [InlineData(DocumentKind.Records)]
    [InlineData(DocumentKind.Stream)]
    internal void Watchers_see_one_part_from_its_beginning_to_its_end(DocumentKind kind)
    {
        var watcher = new Diary();
        Run(Settings, Input(kind), watcher, new DiagnosticSink());
        Assert.Equal(["begin at 0 0", "records begin", "records end", "part ends", "complete"], watcher.Lines);
    }

    [Theory]
    [InlineData(DocumentKind.Strokes)]
    [InlineData(DocumentKind.Records)]
    [InlineData(DocumentKind.Stream)]
    internal void Another_process_is_refused_and_on_purpose_told(DocumentKind kind)
    {
        BuildSettings other = Settings with { Process = Settings.Process with { Name = "other", AreaDoseCoulombsPerSquareMetre = 9 } };
        Refused(
            kind,
            other,
            $"made for another process (settings {Shown(Settings.Process)}) than the built-in process 'other' (settings {Shown(other.Process)})",
            "the built-in process 'other'",
            "process");
    }

    [Theory]
    [InlineData(DocumentKind.Strokes)]
    [InlineData(DocumentKind.Records)]
    [InlineData(DocumentKind.Stream)]
    internal void Settings_that_a_path_names_are_told_with_it(DocumentKind kind)
    {
        BuildSettings other = Settings with { Process = Settings.Process with { Name = "other", AreaDoseCoulombsPerSquareMetre = 9 }, Job = Settings.Job with { ProcessPath = "lab/other.yaml" } };
        Refused(
            kind,
            other,
            $"made for another process (settings {Shown(Settings.Process)}) than the process 'other' of lab/other.yaml (settings {Shown(other.Process)})",
            "the process 'other' of lab/other.yaml",
            "process");
    }

    /// <summary>Strokes know nothing of the machine; records do.</summary>
    [Fact]
    public void Another_machine_is_refused_of_records_and_not_of_strokes()
    {
        BuildSettings other = Settings with { Machine = Settings.Machine with { Name = "second", Beam = Settings.Machine.Beam with { CurrentAmperes = 2 * Settings.Machine.Beam.CurrentAmperes } } };
        foreach (DocumentKind kind in new[] { DocumentKind.Records, DocumentKind.Stream })
        {
            Refused(
                kind,
                other,
                $"made for another machine '{Settings.Machine.Name}' (settings {SettingsDigests.Of(Settings.Machine).ToString()[..8]}) than the built-in machine 'second' (settings {SettingsDigests.Of(other.Machine).ToString()[..8]})",
                "the built-in machine 'second'",
                "machine");
        }

        Assert.Empty(Judge(other, Input(DocumentKind.Strokes)).Sink.Collected);
    }

    [Theory]
    [InlineData(DocumentKind.Strokes, "process")]
    [InlineData(DocumentKind.Records, "machine")]
    internal void A_document_that_states_none_needs_settings_that_somebody_names(DocumentKind kind, string what)
    {
        byte[] plain = Encoding.UTF8.GetBytes(string.Concat(Encoding.UTF8.GetString(Documents[kind]).Split('\n').Where(line => !line.StartsWith("made-for", StringComparison.Ordinal)).Select(line => line + "\n"))[..^1]);
        Assert.NotEqual(Documents[kind].Length, plain.Length);
        PipelineInput Open() => new(kind, new MemoryStream(plain), "old");
        CompileException fault = Assert.Throws<CompileException>(() => Judge(Settings, Open()));
        Assert.Equal(
            $"old: error PC3090: does not say for which {what} it was made, and none is named; name the settings that it was made with: --job FILE or --{what} FILE; to judge it with others on purpose, add --other-settings",
            fault.Message);
        BuildSettings named = Settings with { Job = Settings.Job with { MachinePath = "m.yaml", ProcessPath = "p.yaml" } };
        Assert.Empty(Judge(named, Open()).Sink.Collected);
    }

    /// <summary>A fault in a document that somebody hands in is one of the input: here the first record draws before the beam is led anywhere.</summary>
    [Fact]
    public void A_document_that_breaks_the_rules_is_named()
    {
        string[] lines = Encoding.UTF8.GetString(Documents[DocumentKind.Records]).Split('\n');
        int first = Array.FindIndex(lines, line => line.StartsWith("jump", StringComparison.Ordinal));
        (lines[first], lines[first + 1]) = (lines[first + 1], lines[first]);
        var changed = new PipelineInput(DocumentKind.Records, new MemoryStream(Encoding.UTF8.GetBytes(string.Join('\n', lines))), "handed in");
        Assert.Equal(
            "handed in (record 0): error PC0890: the beam is on before the first jump; make the document again with the stage before this one",
            Assert.Throws<CompileException>(() => Judge(Settings, changed)).Message);
    }

    [Fact]
    public void The_end_of_a_document_is_checked_and_passed_on()
    {
        var calls = new List<string>();
        var input = new CheckedInput<RecordsHeader, DeflectionRecord>("name", new Listed("checker", calls), new Listed("next", calls));
        input.End();
        Assert.Equal(["checker ends", "next ends"], calls);
        new CheckedInput<RecordsHeader, DeflectionRecord>("name", new Listed("checker", calls), null).End();
        Assert.Equal(["checker ends", "next ends", "checker ends"], calls);
    }

    private static void Refused(DocumentKind kind, BuildSettings settings, string message, string used, string what)
    {
        CompileException fault = Assert.Throws<CompileException>(() => Judge(settings, Input(kind)));
        Assert.Equal(
            $"chip.{kind}: error PC3090: {message}; name the settings that it was made with: --job FILE or --{what} FILE; to judge it with others on purpose, add --other-settings", fault.Message);

        // Once, however many documents of the pattern say it.
        var sink = new DiagnosticSink();
        var pipeline = new Pipeline(settings, new MemoryFiles(), sink, CancellationToken.None) { AcceptsOtherSettings = true };
        pipeline.Run(Input(kind), []);
        pipeline.Run(Input(kind), []);
        Assert.Equal($"chip.{kind}: warning PC3090: judged with {used}: {message}", Assert.Single(sink.Collected, told => told.Code.Id == "PC3090").ToString());
    }

    private static string Shown(PatternCompiler.Instrument.Resist process) => SettingsDigests.Of(process).ToString()[..8];

    private static PipelineInput Input(DocumentKind kind) => new(kind, new MemoryStream(Documents[kind]), $"chip.{kind}");

    private static (ExposureEstimate Estimate, DiagnosticSink Sink) Judge(BuildSettings settings, PipelineInput input)
    {
        var sink = new DiagnosticSink();
        var judge = new ExposureJudge(settings);
        Run(settings, input, judge, sink);
        return (judge.ToEstimate(), sink);
    }

    private static void Run(BuildSettings settings, PipelineInput input, ExposureWatcher watcher, DiagnosticSink sink) =>
        new Pipeline(settings, new MemoryFiles().With("chip.layout", Chip), sink, CancellationToken.None).Run(input, [watcher]);

    private static Dictionary<DocumentKind, byte[]> Build()
    {
        using MemoryStream figures = new(), strokes = new(), records = new(), stream = new();
        var pipeline = new Pipeline(Settings, new MemoryFiles().With("chip.layout", Chip), new DiagnosticSink(), CancellationToken.None);
        pipeline.Run(PipelineInput.Drawings, [
            new FiguresWatcher(new FiguresTextWriter(figures)),
            new SinkWatcher(new StrokesTextWriter(strokes), new FanOut<RecordsHeader, DeflectionRecord>([new RecordsTextWriter(records), new ExposureStreamWriter(stream, StreamProfile.Lines)]))]);
        return new()
        {
            [DocumentKind.Figures] = figures.ToArray(),
            [DocumentKind.Strokes] = strokes.ToArray(),
            [DocumentKind.Records] = records.ToArray(),
            [DocumentKind.Stream] = stream.ToArray(),
        };
    }

    private sealed class FiguresWatcher(IDocumentSink<FiguresHeader, Figure> figures) : ExposureWatcher
    {
        public override IDocumentSink<FiguresHeader, Figure>? Figures => figures;
    }

    private sealed class Diary : ExposureWatcher
    {
        public List<string> Lines { get; } = [];

        public override IDocumentSink<RecordsHeader, DeflectionRecord>? Records => new Entries(Lines);

        public override void Begin(StagePosition position) => Lines.Add($"begin at {position.XFemtometres} {position.YFemtometres}");

        public override void End(ExposedPart part) => Lines.Add("part ends");

        public override void Complete() => Lines.Add("complete");

        private sealed class Entries(List<string> lines) : IDocumentSink<RecordsHeader, DeflectionRecord>
        {
            public void Begin(RecordsHeader header) => lines.Add("records begin");

            public void Write(ReadOnlySpan<DeflectionRecord> items)
            {
            }

            public void End() => lines.Add("records end");
        }
    }

    private sealed class Listed(string name, List<string> calls) : IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        public void Begin(RecordsHeader header)
        {
        }

        public void Write(ReadOnlySpan<DeflectionRecord> items)
        {
        }

        public void End() => calls.Add($"{name} ends");
    }
}
