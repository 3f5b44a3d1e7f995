using PatternCompiler.Model;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Prediction.Stray;

/// <summary>
/// Remembers which figures each jump of a strokes document connects, or of one document after another, for a scan of the
/// records made from them: records without markers do not say. Memory grows with the number of jumps.
/// </summary>
internal sealed class JumpFigures : IDocumentSink<StrokesHeader, Stroke>
{
    private readonly List<(int From, int To)> jumps = [];
    private int exposed = -1;
    private bool isFirst = true;

    /// <inheritdoc/>
    public void Begin(StrokesHeader header) => (exposed, isFirst) = (-1, true);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        foreach (ref readonly Stroke stroke in items)
        {
            // Scaling puts a jump in front of a document that begins without one.
            if (stroke.IsBlanked || isFirst)
            {
                jumps.Add((exposed, stroke.Figure));
            }

            isFirst = false;
            exposed = stroke.IsBlanked ? exposed : stroke.Figure;
        }
    }

    /// <inheritdoc/>
    public void End()
    {
    }

    /// <summary>Jumps seen so far.</summary>
    internal int Count => jumps.Count;

    /// <summary>Figures before and after a jump; −1 before the first.</summary>
    internal (int From, int To) Of(long jump) => jump < jumps.Count ? jumps[(int)jump] : (-1, -1);
}
