using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Tests.Jobs.Fields;

public sealed class PlacedStrokesTests
{
    /// <summary>However many fields and pieces: one beginning, one end, and every stroke with its figure where its field lies.</summary>
    [Fact]
    public void Strokes_of_all_fields_become_one_document()
    {
        var target = new Diary();
        var placed = new PlacedStrokes(target);
        Stroke[] strokes = [.. Enumerable.Range(0, 3000).Select(i => Stroke.Jump(i, 10 * i, -7 * i))];
        foreach ((long x, long y, int figure) in (ReadOnlySpan<(long, long, int)>)[(0, 0, 0), (1_000_000, -2_000_000, 3000)])
        {
            placed.Place(x, y, figure);
            placed.Begin(new StrokesHeader(["pads"]));
            placed.Write(strokes);
            placed.End();
        }

        Assert.Equal((1, 0), (target.Begun, target.Ended));
        placed.Complete();
        Assert.Equal((1, 1), (target.Begun, target.Ended));
        Assert.Equal(
            [.. strokes, .. strokes.Select(s => s with { Figure = s.Figure + 3000, XFemtometres = s.XFemtometres + 1_000_000, YFemtometres = s.YFemtometres - 2_000_000, EndXFemtometres = s.EndXFemtometres + 1_000_000, EndYFemtometres = s.EndYFemtometres - 2_000_000 })],
            target.Strokes);
    }

    private sealed class Diary : IDocumentSink<StrokesHeader, Stroke>
    {
        public int Begun { get; private set; }

        public int Ended { get; private set; }

        public List<Stroke> Strokes { get; } = [];

        public void Begin(StrokesHeader header) => Begun++;

        public void Write(ReadOnlySpan<Stroke> items) => Strokes.AddRange(items);

        public void End() => Ended++;
    }
}
