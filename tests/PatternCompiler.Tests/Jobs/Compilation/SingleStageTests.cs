using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs.Compilation;

/// <summary>The steps of a run one by one, as the commands of single stages take them.</summary>
public sealed class SingleStageTests
{
    // 3 um by 2 um off the middle, and a dot: nothing is alike in x and y. One nanometre is half a step too much to centre in x, three in y.
    private const string Chip = "layout 1\nunit um\ngrid 1 nm\nlayer pads\nrect on pads from (1, -4) to (4.001, -2.003)\ndot on pads at (2, -3)\n";

    [Fact]
    public void Stage_after_stage_makes_what_the_whole_run_makes()
    {
        using MemoryStream wholeStrokes = new(), wholeRecords = new(), strokes = new(), records = new(), again = new();
        Pipeline whole = Make("");
        whole.Run(PipelineInput.Drawings, [new SinkWatcher(new StrokesTextWriter(wholeStrokes), new RecordsTextWriter(wholeRecords))]);

        Pipeline single = Make("");
        (FiguresDocument figures, _) = single.Correct(single.Fracture(single.WithHeights(single.Flatten(single.Layout()))));
        Assert.Equal(2, single.Check(figures, null).Figures);
        single.Fill(figures, new StrokesTextWriter(strokes));
        Assert.Equal(Text(wholeStrokes), Text(strokes));
        single.Scale(new PipelineInput(DocumentKind.Strokes, new MemoryStream(strokes.ToArray()), "strokes"), new RecordsTextWriter(records));
        Assert.Equal(Text(wholeRecords), Text(records));
        long exposures = single.ReadRecords(new PipelineInput(DocumentKind.Records, new MemoryStream(records.ToArray()), "records"), new RecordsTextWriter(again)).Records;
        Assert.Equal(Text(wholeRecords), Text(again));
        Assert.Equal(Text(again).Split('\n').Count(line => line.Split(' ')[0] is "jump" or "dot" or "line" or "wait"), exposures);
    }

    /// <summary>A correction asks before it begins what the run has asked, and nobody is told twice.</summary>
    [Fact]
    public void What_the_process_is_told_of_is_told_once()
    {
        var told = new DiagnosticSink();
        var pipeline = new Pipeline(
            new BuildSettings(
                JobFile.Parse("job: chip\nsources: [chip.layout]\ncorrect: {}\n", "job.yaml"),
                DefaultFiles.Machine,
                DefaultFiles.Process with { Substrate = Substrate.Known.First(known => known.IsInsulating) }),
            new MemoryFiles().With("chip.layout", Chip),
            told,
            CancellationToken.None);
        using var strokes = new MemoryStream();
        using var records = new MemoryStream();
        Assert.NotNull(pipeline.Run(PipelineInput.Drawings, [new SinkWatcher(new StrokesTextWriter(strokes), new RecordsTextWriter(records))]).Correction);
        Assert.Single(told.Collected, told => told.Message.Contains("is an insulator", StringComparison.Ordinal));
    }

    /// <summary>Figures that are handed in are looked at before a stroke is made of them.</summary>
    [Fact]
    public void Figures_beyond_the_field_are_not_filled()
    {
        var figures = new FiguresDocument(
            new FiguresHeader(1000, ["pads"]), [Figure.FromTrapezoid(0, DoseFactor.One, Trapezoid.FromRectangle(0, 0, 10, (int)(DefaultFiles.Machine.Deflection.FieldHeightNanometres / 2) + 10))]);
        using var output = new MemoryStream();
        Assert.Equal("PC1601", Assert.Throws<CompileException>(() => Make("").Fill(figures, new StrokesTextWriter(output))).Diagnostic.Code.Id);
        Assert.Equal(0, output.Length);
    }

    /// <summary>What a print is measured against stands where the build put it, to the step of the build's grid, on a grid that is finer.</summary>
    [Theory]
    [InlineData("")]
    [InlineData("position: centred\n")]
    [InlineData("position: centred\ngrid: 2 nm\n")]
    public void The_reference_stands_where_the_build_stands(string settings)
    {
        Pipeline pipeline = Make(settings);
        FlatLayout built = pipeline.Flatten(pipeline.Layout());
        FlatLayout reference = pipeline.Reference();
        Assert.Equal(10, reference.GridPicometres);
        long ratio = built.GridPicometres / reference.GridPicometres;
        (long, long) Corner(FlatLayout layout, long factor)
        {
            GridPoint[] corners = [.. Enumerable.Range(0, layout.Groups[0].Area.Count).SelectMany(ring => layout.Groups[0].Area[ring].ToArray())];
            return (factor * corners.Min(corner => corner.X), factor * corners.Min(corner => corner.Y));
        }

        Assert.Equal(Corner(built, ratio), Corner(reference, 1));
    }

    private static Pipeline Make(string settings) => new(
        new BuildSettings(JobFile.Parse($"job: chip\nsources: [chip.layout]\n{settings}", "job.yaml"), DefaultFiles.Machine, DefaultFiles.Process),
        new MemoryFiles().With("chip.layout", Chip),
        new DiagnosticSink(),
        CancellationToken.None);

    private static string Text(MemoryStream stream) => Encoding.UTF8.GetString(stream.ToArray());
}
