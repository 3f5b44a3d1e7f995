using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Route;

/// <summary>
/// Has every exposure begin with an approach from one side: the beam, off, goes to a point to the left of and below its start, and then
/// to the start. Strokes are written to the right, upright ones upwards: what would run back is written from its other end, by
/// itself, so that neither axis changes its sense while the beam is on. Charge and places stay as they are.
/// </summary>
/// <remarks>
/// A run is what is exposed without a jump. One that goes on to the right and up passes at once; one that goes back is held until it
/// ends and written in reverse. A run that turns is divided there.
/// </remarks>
internal sealed class ApproachedStrokes : IDocumentSink<StrokesHeader, Stroke>
{
    private const int MostHeld = 1 << 16;

    private readonly IDocumentSink<StrokesHeader, Stroke> output;
    private readonly long approach;
    private readonly DiagnosticSink sink;
    private readonly List<Stroke> run = [];
    private Stroke? jump;
    private Stroke last;
    private int sense;
    private bool isOpen;
    private bool isApproached;
    private long downhill;

    /// <summary>Passes strokes on with their approaches.</summary>
    /// <param name="output">Takes them.</param>
    /// <param name="approachFemtometres">How far to the left and below.</param>
    /// <param name="sink">Takes a note of what cannot be approached from one side along both axes.</param>
    public ApproachedStrokes(IDocumentSink<StrokesHeader, Stroke> output, long approachFemtometres, DiagnosticSink sink)
    {
        this.output = output;
        approach = approachFemtometres;
        this.sink = sink;
    }

    /// <inheritdoc/>
    public void Begin(StrokesHeader header) => output.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        foreach (ref readonly Stroke stroke in items)
        {
            if (stroke.IsBlanked)
            {
                EndRun();
                PassJump();
                jump = stroke;
            }
            else
            {
                Expose(stroke);
            }
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        EndRun();
        PassJump();
        if (downhill > 0)
        {
            sink.Note(
                OrderCodes.DownhillStrokes,
                $"{CountText.Of(downhill, "stroke runs", "strokes run")} to the right and down: along y they are written from above, whichever end comes first",
                fix: "what lies slanted keeps the hysteresis of one axis; fill areas in rows along x or y");
        }

        output.End();
    }

    private void Expose(in Stroke stroke)
    {
        if (isOpen && !GoesOn(stroke))
        {
            EndRun();
        }

        if (!isOpen)
        {
            (isOpen, sense) = (true, 0);
        }
        else if (sense == 0)
        {
            sense = SenseOf(stroke.XFemtometres - last.EndXFemtometres, stroke.YFemtometres - last.EndYFemtometres);
        }

        sense = sense == 0 ? OwnSense(stroke) : sense;
        downhill += stroke.Points > 1 && IsMixed(stroke.EndXFemtometres - stroke.XFemtometres, stroke.EndYFemtometres - stroke.YFemtometres) ? 1 : 0;
        last = stroke;
        if (sense > 0 && run.Count == 0)
        {
            // What stands here was begun when nothing was held: only the first stroke of a run needs its approach.
            output.Write(isApproached ? [stroke] : [.. Approach(stroke), stroke]);
            isApproached = true;
            return;
        }

        run.Add(stroke);
        if (sense > 0 || run.Count == MostHeld)
        {
            Flush();
        }
    }

    // The way to the stroke and the stroke itself keep the sense of the run along both axes; of a slanted stroke x decides.
    private bool GoesOn(in Stroke stroke)
    {
        long dx = stroke.XFemtometres - last.EndXFemtometres, dy = stroke.YFemtometres - last.EndYFemtometres;
        int to = SenseOf(dx, dy), own = OwnSense(stroke);
        int known = sense != 0 ? sense : to != 0 ? to : own;
        return stroke.Figure == last.Figure && !IsMixed(dx, dy) && to * known >= 0 && own * known >= 0;
    }

    private static int OwnSense(in Stroke stroke) => SenseOf(stroke.EndXFemtometres - stroke.XFemtometres, stroke.EndYFemtometres - stroke.YFemtometres);

    private static int SenseOf(long dx, long dy) => dx != 0 ? Math.Sign(dx) : Math.Sign(dy);

    private static bool IsMixed(long dx, long dy) => Math.Sign(dx) * Math.Sign(dy) < 0;

    private void EndRun()
    {
        if (isOpen)
        {
            Flush();
        }

        (isOpen, sense, isApproached) = (false, 0, false);
    }

    // What is held goes backwards, or is a point.
    private void Flush()
    {
        if (run.Count == 0)
        {
            return;
        }

        if (sense < 0)
        {
            run.Reverse();
            for (int i = 0; i < run.Count; i++)
            {
                Stroke stroke = run[i];
                run[i] = stroke with
                {
                    XFemtometres = stroke.EndXFemtometres,
                    YFemtometres = stroke.EndYFemtometres,
                    EndXFemtometres = stroke.XFemtometres,
                    EndYFemtometres = stroke.YFemtometres,
                };
            }
        }

        output.Write([.. Approach(run[0]), .. run]);
        isApproached = sense > 0;
        run.Clear();
        isOpen = isApproached;
    }

    private Stroke[] Approach(in Stroke first)
    {
        (long x, long y) = (first.XFemtometres, first.YFemtometres);
        Stroke arrival = jump is { Kind: StrokeKind.Await } await
            ? await with { XFemtometres = x, YFemtometres = y, EndXFemtometres = x, EndYFemtometres = y }
            : Stroke.Jump(first.Figure, x, y);
        jump = null;
        return [Stroke.Jump(first.Figure, x - approach, y - approach), arrival];
    }

    // A jump that leads to no exposure: where the beam waits, or a bend of its way.
    private void PassJump()
    {
        if (jump is { } stroke)
        {
            output.Write([stroke]);
            jump = null;
        }
    }
}
