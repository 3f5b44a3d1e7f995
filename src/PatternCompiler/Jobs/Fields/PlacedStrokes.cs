using PatternCompiler.Model;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Jobs.Fields;

/// <summary>
/// Passes the strokes of several write fields on as one document, each where it lies on the pattern, with figures counted
/// through all of them.
/// </summary>
internal sealed class PlacedStrokes(IDocumentSink<StrokesHeader, Stroke> target) : IDocumentSink<StrokesHeader, Stroke>
{
    private const int PiecesAtOnce = 1024;

    private readonly Stroke[] moved = new Stroke[PiecesAtOnce];
    private bool hasBegun;
    private long byX;
    private long byY;
    private int firstFigure;

    /// <summary>Where the strokes that follow have their origin, and the number of their first figure.</summary>
    public void Place(long xFemtometres, long yFemtometres, int figure) => (byX, byY, firstFigure) = (xFemtometres, yFemtometres, figure);

    /// <inheritdoc/>
    public void Begin(StrokesHeader header)
    {
        if (!hasBegun)
        {
            target.Begin(header);
            hasBegun = true;
        }
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        while (items.Length > 0)
        {
            int count = Math.Min(items.Length, moved.Length);
            for (int i = 0; i < count; i++)
            {
                ref readonly Stroke stroke = ref items[i];
                moved[i] = stroke with
                {
                    Figure = stroke.Figure + firstFigure,
                    XFemtometres = stroke.XFemtometres + byX,
                    YFemtometres = stroke.YFemtometres + byY,
                    EndXFemtometres = stroke.EndXFemtometres + byX,
                    EndYFemtometres = stroke.EndYFemtometres + byY,
                };
            }

            target.Write(moved.AsSpan(0, count));
            items = items[count..];
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        // More may follow; Complete ends the whole.
    }

    /// <summary>Nothing follows.</summary>
    public void Complete() => target.End();
}
