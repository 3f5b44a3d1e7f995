using PatternCompiler.Model;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Passes.Route;

/// <summary>Sends the beam to its waiting place before the first stroke and after the last one.</summary>
internal sealed class ParkedStrokes(IDocumentSink<StrokesHeader, Stroke> output, long xFemtometres, long yFemtometres) : IDocumentSink<StrokesHeader, Stroke>
{
    private int figure = -1;

    /// <inheritdoc/>
    public void Begin(StrokesHeader header) => output.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        if (items.IsEmpty)
        {
            return;
        }

        if (figure < 0)
        {
            output.Write([Stroke.Jump(items[0].Figure, xFemtometres, yFemtometres)]);
        }

        figure = items[^1].Figure;
        output.Write(items);
    }

    /// <inheritdoc/>
    public void End()
    {
        if (figure >= 0)
        {
            output.Write([Stroke.Jump(figure, xFemtometres, yFemtometres)]);
        }

        output.End();
    }
}
