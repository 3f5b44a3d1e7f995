using PatternCompiler.Model;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Writes exposing strokes and puts a jump in front of each one that does not start close to where the last one ended.
/// </summary>
internal sealed class StrokeWriter
{
    private const int BatchSize = 512;

    private readonly IDocumentSink<StrokesHeader, Stroke> output;
    private readonly CancellationToken cancellation;
    private readonly Stroke[] batch = new Stroke[BatchSize];
    private int batched;
    private bool isOn;
    private long lastX;
    private long lastY;
    private long shiftX;
    private long shiftY;
    private TriggerUnit waitsAt;
    private long waitPicoseconds;
    private bool waits;

    public StrokeWriter(IDocumentSink<StrokesHeader, Stroke> output, CancellationToken cancellation)
    {
        this.output = output;
        this.cancellation = cancellation;
    }

    /// <summary>Where the last stroke ended.</summary>
    public long LastX => lastX;

    /// <inheritdoc cref="LastX"/>
    public long LastY => lastY;

    /// <summary>A line, or a dot if it has one point only.</summary>
    public static Stroke Run(int figure, long x0, long y0, long x1, long y1, int points, long charge) =>
        points == 1 ? Stroke.Dot(figure, x0, y0, charge) : Stroke.Line(figure, x0, y0, x1, y1, points, charge);

    /// <summary>Shifts everything that follows.</summary>
    public void Shift((long X, long Y) by) => (shiftX, shiftY) = by;

    /// <summary>The next stroke is reached by a jump, however near it is.</summary>
    public void BreakOff() => isOn = false;

    /// <summary>A pass over a layer begins.</summary>
    /// <param name="at">What waits for the trigger input.</param>
    /// <param name="afterEdgePicoseconds">Time from the trigger's edge until writing starts.</param>
    public void BeginPass(TriggerUnit at, long afterEdgePicoseconds)
    {
        BreakOff();
        (waitsAt, waitPicoseconds, waits) = (at, afterEdgePicoseconds, at != TriggerUnit.None);
    }

    /// <summary>A unit begins, and with it one of every smaller kind: if these wait for the trigger, the next stroke does.</summary>
    public void Begin(TriggerUnit unit) => waits |= unit <= waitsAt;

    /// <summary>Exposes points on a straight line.</summary>
    /// <param name="stroke">A line or dot.</param>
    /// <param name="reachX">The beam stays on if the start is no further away than this in x …</param>
    /// <param name="reachY">… and no further than this in y.</param>
    public void Expose(in Stroke stroke, double reachX, double reachY)
    {
        bool isApart = !isOn || Math.Abs(stroke.XFemtometres - lastX) > reachX || Math.Abs(stroke.YFemtometres - lastY) > reachY;
        if (waits || (isApart && waitsAt == TriggerUnit.Line))
        {
            Push(Stroke.Await(stroke.Figure, stroke.XFemtometres, stroke.YFemtometres, waitPicoseconds));
            waits = false;
        }
        else if (isApart)
        {
            Push(Stroke.Jump(stroke.Figure, stroke.XFemtometres, stroke.YFemtometres));
        }

        Push(stroke);
        (lastX, lastY, isOn) = (stroke.EndXFemtometres, stroke.EndYFemtometres, true);
    }

    /// <summary>Gives charge to the last stroke of a figure, if that is not long ago.</summary>
    /// <returns>False if it has been passed on.</returns>
    public bool TryAdd(int figure, long chargeZeptocoulombs)
    {
        for (int i = batched - 1; i >= 0; i--)
        {
            if (batch[i].Figure == figure && !batch[i].IsBlanked)
            {
                batch[i] = batch[i] with { ChargeZeptocoulombs = batch[i].ChargeZeptocoulombs + chargeZeptocoulombs };
                return true;
            }
        }

        return false;
    }

    public void Flush() => PassOn(batched);

    private void PassOn(int count)
    {
        cancellation.ThrowIfCancellationRequested();
        output.Write(batch.AsSpan(0, count));
        batched -= count;
        batch.AsSpan(count, batched).CopyTo(batch);
    }

    private void Push(in Stroke stroke)
    {
        batch[batched++] = stroke with
        {
            XFemtometres = stroke.XFemtometres + shiftX,
            YFemtometres = stroke.YFemtometres + shiftY,
            EndXFemtometres = stroke.EndXFemtometres + shiftX,
            EndYFemtometres = stroke.EndYFemtometres + shiftY,
        };
        if (batched == BatchSize)
        {
            PassOn(BatchSize / 2);
        }
    }
}
