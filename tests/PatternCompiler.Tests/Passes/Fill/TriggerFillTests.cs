using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill;

/// <summary>Which strokes wait for the trigger, and how long after its edge they start.</summary>
public sealed class TriggerFillTests
{
    private static readonly LayerFill Lines = FillCase.Options.AllLayers;
    private static readonly Figure[] TwoSquares = [FillCase.Rectangle(0, 0, 300, 300), FillCase.Rectangle(1000, 0, 300, 300)];

    // Two squares of three rows, two passes; a raster has three rows of two runs.
    [Theory]
    [InlineData("lines", TriggerUnit.None, 0)]
    [InlineData("lines", TriggerUnit.Pass, 2)]
    [InlineData("lines", TriggerUnit.Figure, 4)]
    [InlineData("lines", TriggerUnit.Row, 12)]
    [InlineData("lines", TriggerUnit.Line, 12)]
    [InlineData("one-way lines", TriggerUnit.Figure, 4)]
    [InlineData("one-way lines", TriggerUnit.Row, 12)]
    [InlineData("raster", TriggerUnit.Pass, 2)]
    [InlineData("raster", TriggerUnit.Figure, 6)]
    [InlineData("raster", TriggerUnit.Row, 6)]
    [InlineData("raster", TriggerUnit.Line, 12)]
    [InlineData("inward contours", TriggerUnit.Figure, 4)]
    public void Units_wait(string strategy, TriggerUnit unit, int waits)
    {
        List<Stroke> strokes = Fill(Lines with { Strategy = FillStrategy.Of(strategy), Passes = 2, Trigger = unit }, TwoSquares);
        Assert.Equal(waits, strokes.Count(stroke => stroke.Kind == StrokeKind.Await));
        Assert.Equal(unit != TriggerUnit.None, strokes[0].Kind == StrokeKind.Await);
        List<Stroke> plain = Fill(Lines with { Strategy = FillStrategy.Of(strategy), Passes = 2 }, TwoSquares);
        Assert.Equal(plain.Where(stroke => !stroke.IsBlanked), strokes.Where(stroke => !stroke.IsBlanked));

        // Each wait is where writing goes on.
        Assert.All(strokes.Zip(strokes.Skip(1)).Where(pair => pair.First.Kind == StrokeKind.Await), pair =>
            Assert.Equal((pair.First.XFemtometres, pair.First.YFemtometres, false), (pair.Second.XFemtometres, pair.Second.YFemtometres, pair.Second.IsBlanked)));
    }

    [Fact]
    public void A_polyline_waits_at_each_of_its_lines()
    {
        Figure[] chain = [Figure.FromLine(0, DoseFactor.One, new(0, 0), new(500, 0)), Figure.FromLine(0, DoseFactor.One, new(500, 0), new(500, 500))];
        Assert.Equal(2, Fill(Lines with { Trigger = TriggerUnit.Figure }, chain).Count(stroke => stroke.Kind == StrokeKind.Await));
        Assert.Equal(1, Fill(Lines with { Trigger = TriggerUnit.Pass }, chain).Count(stroke => stroke.Kind == StrokeKind.Await));
    }

    // 60 Hz: a third of a period is 5.5555... ms.
    [Fact]
    public void Passes_are_spread_over_the_period()
    {
        LayerFill fill = Lines with { Passes = 3, Trigger = TriggerUnit.Figure, TriggerDelaySeconds = 1e-3, SpreadsPasses = true };
        Assert.Equal(
            [1_000_000_000, 6_555_555_556, 12_111_111_111],
            Fill(fill, TwoSquares[..1], new TriggerInput(60, 0.1)).Where(stroke => stroke.Kind == StrokeKind.Await).Select(stroke => stroke.WaitPicoseconds));
    }

    [Fact]
    public void The_header_says_whether_strokes_wait()
    {
        Assert.True(Header(Lines with { Trigger = TriggerUnit.Row }).WaitsForTrigger);
        Assert.False(Header(Lines).WaitsForTrigger);

        static StrokesHeader Header(LayerFill fill)
        {
            var output = new CollectingSink<StrokesHeader, Stroke>();
            FillPass.Run(
                new FiguresDocument(new FiguresHeader(100, ["pattern"]), TwoSquares), FillCase.With(fill) with { Trigger = new TriggerInput(50, 0.1) }, output, new DiagnosticSink(), CancellationToken.None);
            return output.Header!;
        }
    }

    [Fact]
    public void What_makes_no_sense_is_refused()
    {
        Assert.Equal(
            "error PC1220: layer pattern is to wait for the trigger input, but the machine has none; add 'trigger' to the machine file if the controller has such an input, or set 'fill.trigger' to none",
            Assert.Throws<CompileException>(() => Fill(Lines with { Trigger = TriggerUnit.Row }, TwoSquares, null)).Message);
        Assert.Equal(
            "error PC1203: the passes of layer pattern are to start some time after a trigger, but nothing waits for one; say with 'fill.trigger' what waits, for example row, or leave out the rest",
            Assert.Throws<CompileException>(() => Fill(Lines with { Passes = 2, SpreadsPasses = true }, TwoSquares)).Message);
        Assert.Equal(
            "error PC1203: the lines of layer pattern are to start some time after a trigger, but nothing waits for one; say with 'fill.trigger' what waits, for example row, or leave out the rest",
            Assert.Throws<CompileException>(() => Fill(Lines with { TriggerDelaySeconds = 1e-3 }, TwoSquares)).Message);
        Assert.Equal(
            "error PC1203: the passes of layer pattern are to be spread over the trigger's period, but there is one pass; ask for 2 passes or more with 'fill.passes'",
            Assert.Throws<CompileException>(() => Fill(Lines with { Trigger = TriggerUnit.Row, SpreadsPasses = true }, TwoSquares)).Message);
    }

    private static List<Stroke> Fill(LayerFill fill, Figure[] figures) => Fill(fill, figures, new TriggerInput(50, 0.1));

    private static List<Stroke> Fill(LayerFill fill, Figure[] figures, TriggerInput? trigger) => FillCase.Fill(FillCase.With(fill) with { Trigger = trigger }, figures);
}
