using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Tests.Passes;
using PatternCompiler.Tests.Passes.Route;

namespace PatternCompiler.Tests.Jobs.Compilation;

/// <summary>From strokes to records, by hand: 1 nA at ten ticks a microsecond expose 10 fC in 100 ticks.</summary>
public sealed class RecordsStageTests
{
    private const long TenFemtocoulombs = 10_000_000;

    private static readonly Stroke[] Strokes =
    [
        Stroke.Jump(3, 0, 0), Stroke.Dot(3, 0, 0, TenFemtocoulombs),
        Stroke.Jump(4, 1_000_000_000, 0), Stroke.Dot(4, 1_000_000_000, 0, 2 * TenFemtocoulombs),
    ];

    [Theory]
    [InlineData(false, "Jump, Dot 100, Jump, Dot 200")]
    [InlineData(true, "Marker 3, Jump, Dot 100, Marker 4, Jump, Dot 200")]
    public void Markers_go_as_far_as_they_are_asked_for(bool markers, string expected)
    {
        (RecordsStage stage, CollectingSink<RecordsHeader, DeflectionRecord> written, DiagnosticSink sink) = Run(Strokes, new Blanker(true, true, 0, 0, 0), markers);
        Assert.Equal(expected, Show(written.Items));
        Assert.True(written.HasEnded);
        Assert.Empty(sink.Collected);
        Assert.Equal(3e-14, stage.Strokes.ChargeCoulombs, 1e-26);
        Assert.Equal((2L, 300L, (long)written.Items.Count), (stage.Records.Points, stage.Records.ExposedTicks, stage.Records.Records));
    }

    /// <summary>The beam comes on 1 µs and goes off 2 µs late: it is told off 20 ticks early and on 10 ticks early, and waits until it is off.</summary>
    [Fact]
    public void A_late_blanker_is_made_up_for()
    {
        var blanker = new Blanker(true, true, 2e-6, 1e-6, 0) { IsCompensated = true };
        (RecordsStage stage, CollectingSink<RecordsHeader, DeflectionRecord> written, DiagnosticSink sink) = Run(Strokes, blanker, markers: false);
        Assert.Equal("Jump, Dot 90, Wait 20, Jump, Dot 190, Wait 20", Show(written.Items));
        Assert.Empty(sink.Collected);
        Assert.Equal(280, stage.Records.ExposedTicks);
        (_, written, _) = Run(Strokes, blanker with { IsCompensated = false }, markers: false);
        Assert.Equal("Jump, Dot 100, Jump, Dot 200", Show(written.Items));
    }

    /// <summary>A dot that is over before the beam can be off gets more than it asks for, and it is said.</summary>
    [Fact]
    public void A_figure_that_gets_too_much_is_told()
    {
        Stroke[] strokes = [Stroke.Jump(3, 0, 0), Stroke.Dot(3, 0, 0, TenFemtocoulombs / 10)];
        (_, CollectingSink<RecordsHeader, DeflectionRecord> written, DiagnosticSink sink) = Run(strokes, new Blanker(true, true, 2e-6, 0, 0) { IsCompensated = true }, markers: false);
        Assert.Equal("Jump, Dot 5, Wait 20", Show(written.Items));
        string told = Assert.Single(sink.Collected).ToString();
        Assert.StartsWith("figure 3: warning PC1302: the blanker is too slow for so short dwells: figure 3 ", told, StringComparison.Ordinal);
        Assert.Contains(" gets 1.5 fC (15 ticks, 150%) more than asked; ", told, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(-1)]
    [InlineData(0)]
    public void Strokes_that_make_no_sense_are_refused(long charge) =>
        Assert.Throws<CompileException>(() => Run([Stroke.Jump(3, 0, 0), Stroke.Dot(3, 0, 0, charge)], new Blanker(true, true, 0, 0, 0), markers: false));

    private static string Show(IEnumerable<DeflectionRecord> records) => string.Join(", ", records.Select(record => record.Kind == RecordKind.Jump ? "Jump" : $"{record.Kind} {record.Ticks}"));

    private static (RecordsStage Stage, CollectingSink<RecordsHeader, DeflectionRecord> Written, DiagnosticSink Sink) Run(Stroke[] strokes, Blanker blanker, bool markers)
    {
        BuildSettings settings = RouteCase.Settings with
        {
            Job = RouteCase.Settings.Job with { Markers = markers },
            Machine = RouteCase.Machine with { Blanker = blanker },
        };
        var written = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var sink = new DiagnosticSink();
        var stage = new RecordsStage(settings, written, sink);
        stage.Begin(new StrokesHeader(["pattern"]));
        stage.Write(strokes);
        stage.End();
        return (stage, written, sink);
    }
}
