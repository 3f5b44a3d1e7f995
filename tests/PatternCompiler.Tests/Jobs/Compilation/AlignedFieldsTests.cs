using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Jobs.Compilation;

/// <summary>A layer that is placed on the one below, written from one position of the stage and from several: codes, errors, and what is refused.</summary>
public sealed class AlignedFieldsTests
{
    private const string Alignment = "alignment: {offset: [1.9 um, -0.4 um], rotation: 0.8 deg, scale: [1.004, 0.997], skew: 0.2 %}\n";
    private const string Fields = "fields: {size: 60 um, margin: 4 um}\n";
    private static readonly (double X, double Y)[] Dots = [(-70, 3), (-20, 30), (0, 0), (25, -12), (80, 20)];

    [Theory]
    [InlineData("", 2)]
    [InlineData(Fields, 0)]
    public void Every_dot_lands_where_the_layer_below_is(string fields, int leftOut)
    {
        (double X, double Y)[] dots = leftOut > 0 ? Dots[1..4] : Dots;
        BuildSettings settings = Settings(fields + Alignment);
        List<(double X, double Y)> landed = Landings(settings, dots);
        LayerPlacement placement = settings.Job.Alignment!.Layers.Whole!;
        Assert.Equal(dots.Length, landed.Count);
        foreach ((double x, double y) in dots)
        {
            (double wantedX, double wantedY) = placement.Land(1000 * x, 1000 * y);
            Assert.Contains(landed, at => Math.Abs(at.X - wantedX) <= 1 && Math.Abs(at.Y - wantedY) <= 1);
        }
    }

    [Fact]
    public void A_field_has_its_own_alignment_and_a_name_that_is_none_is_refused()
    {
        // One field, whose centre is the pattern's.
        Assert.Equal((500.0, 700.0), Rounded(Landings(Settings(Fields + "alignment: {fields: {r01c01: {offset: [500 nm, 700 nm]}}}\n"), [(0, 0)])[0]));
        CompileException fault = Assert.Throws<CompileException>(() => Landings(Settings(Fields + "alignment: {fields: {r01c01: {scale: 1}, r01c07: {scale: 1}}}\n"), [(0, 0)]));
        Assert.Equal(("PC1705", "'alignment.fields' names r01c07, and the pattern has no such write field"), (fault.Diagnostic.Code.Id, fault.Diagnostic.Message));

        static (double, double) Rounded((double X, double Y) at) => (Math.Round(at.X / 2) * 2, Math.Round(at.Y / 2) * 2);
    }

    [Fact]
    public void What_the_alignment_moves_out_of_the_field_is_the_usual_error()
    {
        CompileException fault = Assert.Throws<CompileException>(() => Landings(Settings("alignment: {offset: [3 um, 0 um]}\n"), [(48.5, 0)]));
        Assert.Equal("PC1601", fault.Diagnostic.Code.Id);
        Landings(Settings("alignment: {offset: [1 um, 0 um]}\n"), [(48.5, 0)]);
    }

    [Fact]
    public void A_document_of_one_field_does_not_say_which()
    {
        var pipeline = new Pipeline(Settings(Fields + Alignment), new MemoryFiles(), new DiagnosticSink(), CancellationToken.None);
        CompileException fault = Assert.Throws<CompileException>(() => pipeline.Scale(new PipelineInput(DocumentKind.Strokes, new MemoryStream(), "a.strokes"), new CollectingDots()));
        Assert.Equal("this job places its write fields on the layer below, and the document does not say which field it is of", fault.Diagnostic.Message);
    }

    // Where dots land in the coordinates of the stage as it was told to go, by the machine alone.
    private static List<(double X, double Y)> Landings(BuildSettings settings, (double X, double Y)[] dots)
    {
        MemoryFiles files = new MemoryFiles().With("a.layout", "layout 1\nunit um\nlayer a\n" + string.Concat(dots.Select(dot => FormattableString.Invariant($"dot on a at ({dot.X}, {dot.Y})\n"))));
        var seen = new CollectingDots { Mapping = new DacMapping(DefaultFiles.Machine.Dac, DefaultFiles.Machine.Deflection) };
        new Pipeline(settings, files, new DiagnosticSink(), CancellationToken.None).Run(PipelineInput.Drawings, [seen]);
        return seen.Landed;
    }

    private static BuildSettings Settings(string job) => new(JobFile.Parse("job: a\nsources: [a.layout]\n" + job, null), DefaultFiles.Machine, DefaultFiles.Process);

    private sealed class CollectingDots : ExposureWatcher, IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        private StagePosition position = StagePosition.Only;

        public DacMapping? Mapping { get; init; }

        public List<(double X, double Y)> Landed { get; } = [];

        public override IDocumentSink<RecordsHeader, DeflectionRecord>? Records => this;

        public override void Begin(StagePosition position) => this.position = position;

        public void Begin(RecordsHeader header)
        {
        }

        public void Write(ReadOnlySpan<DeflectionRecord> items)
        {
            foreach (DeflectionRecord record in items)
            {
                if (record.Kind == RecordKind.Dot)
                {
                    (double x, double y) = Mapping!.PlaceOf(record.X, record.Y);
                    Landed.Add((x + (position.XFemtometres * 1e-6), y + (position.YFemtometres * 1e-6)));
                }
            }
        }

        public void End()
        {
        }
    }
}
