using PatternCompiler.Model;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Passes.Route;

/// <summary>
/// Leads the beam around a rectangle, off all the time, before it goes to the first stroke that exposes: each time left, right, up and
/// down over the whole of it, so that magnetic parts of the deflection begin every field in one and the same state. Every corner is
/// waited at until the beam rests.
/// </summary>
/// <param name="output">Takes the strokes.</param>
/// <param name="corners">The corners in order, in femtometres; the beam returns to the first.</param>
/// <param name="loops">How often.</param>
internal sealed class ConditionedStrokes(IDocumentSink<StrokesHeader, Stroke> output, IReadOnlyList<(long X, long Y)> corners, int loops) : IDocumentSink<StrokesHeader, Stroke>
{
    private Stroke? jump;
    private bool isConditioned;

    /// <inheritdoc/>
    public void Begin(StrokesHeader header) => output.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        int first = 0;
        for (; !isConditioned && first < items.Length; first++)
        {
            ref readonly Stroke stroke = ref items[first];
            if (stroke.IsBlanked)
            {
                // To where the beam waits, perhaps: only the last jump leads to what is exposed.
                PassJump();
                jump = stroke;
            }
            else
            {
                Condition(stroke.Figure);
                PassJump();
                first--;
            }
        }

        output.Write(items[first..]);
    }

    /// <inheritdoc/>
    public void End()
    {
        PassJump();
        output.End();
    }

    private void Condition(int figure)
    {
        isConditioned = true;
        for (int i = 0; i <= loops * corners.Count; i++)
        {
            (long x, long y) = corners[i % corners.Count];
            output.Write([Stroke.Jump(figure, x, y)]);
        }
    }

    private void PassJump()
    {
        if (jump is { } stroke)
        {
            output.Write([stroke]);
            jump = null;
        }
    }
}
