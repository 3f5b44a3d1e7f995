using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Passes.Timing;

/// <summary>
/// Makes up for a blanker that answers late. A stretch with the beam on is led in by the on-delay at its first point,
/// where nothing arrives yet; it ends the off-delay earlier, and the deflection stays at the last point until the beam is
/// really off. So each stretch gets its charge, and no tail is drawn along the jump that follows. Off-times shorter than
/// the blanker can follow are stretched. The scan-enable line gets its time at both ends of the document.
/// </summary>
public sealed class BlankerTiming : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private const int BatchSize = 512;

    private readonly Blanker blanker;
    private readonly IDocumentSink<RecordsHeader, DeflectionRecord> output;
    private readonly DiagnosticSink? sink;
    private readonly DeflectionRecord[] batch = new DeflectionRecord[BatchSize];
    private int batched;
    private long onTicks;
    private long offTicks;
    private long shortestOffTicks;
    private long enableTicks;
    private long disableTicks;
    private long shortestDwell;
    private readonly List<DeflectionRecord> heldMarkers = [];
    private DeflectionRecord held;
    private bool isHolding;
    private bool heldIsFirst;
    private bool isOn;

    /// <summary>Corrects into <paramref name="output"/>; a warning goes to <paramref name="sink"/>, if there is one.</summary>
    public BlankerTiming(Blanker blanker, IDocumentSink<RecordsHeader, DeflectionRecord> output, DiagnosticSink? sink = null)
    {
        this.sink = sink;
        this.blanker = blanker;
        this.output = output;
    }

    /// <summary>Stretches so short that the beam stays on longer than they ask for, however early it is turned off.</summary>
    public long OverexposedStretches { get; private set; }

    /// <summary>Largest excess among them, in clock ticks.</summary>
    public long LargestExcessTicks { get; private set; }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        onTicks = Ticks(blanker.IsPresent ? blanker.OnDelaySeconds : 0);
        offTicks = Ticks(blanker.IsPresent ? blanker.OffDelaySeconds : 0);
        shortestOffTicks = Ticks(blanker.IsPresent ? blanker.ShortestPulseSeconds : 0);
        enableTicks = Ticks(blanker.ScanEnableSeconds);
        disableTicks = Ticks(blanker.ScanDisableSeconds);
        shortestDwell = header.MinimumDwellTicks;
        output.Begin(header);
        if (enableTicks > 0)
        {
            Push(DeflectionRecord.Wait(enableTicks));
        }

        // Halves upward: a delay is known to a tick at best.
        long Ticks(double seconds) => (long)Math.Floor(seconds * header.ClockHertz + 0.5);
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        foreach (ref readonly DeflectionRecord record in items)
        {
            switch (record.Kind)
            {
                case RecordKind.Dot or RecordKind.Line:
                    Expose(record);
                    break;
                case RecordKind.Marker when isHolding:
                    // It must neither pass the exposure that is held back nor say whether that is the last of its stretch.
                    heldMarkers.Add(record);
                    break;
                case RecordKind.Marker:
                    Push(record);
                    break;
                default:
                    EndStretch();
                    Push(record with { Ticks = Math.Max(record.Ticks, shortestOffTicks) });
                    break;
            }
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        EndStretch();
        if (disableTicks > 0)
        {
            Push(DeflectionRecord.Wait(disableTicks));
        }

        Flush();
        output.End();
        if (OverexposedStretches > 0)
        {
            sink?.Warn(
                OrderCodes.BlankerTooSlow,
                $"{OverexposedStretches} stretches are shorter than the blanker can follow: the beam stays on up to {LargestExcessTicks} ticks longer than they ask for",
                fix: "lower the beam current, or give the figures more points");
        }
    }

    private void Expose(in DeflectionRecord record)
    {
        ReleaseInside();
        heldIsFirst = !isOn;
        isOn = true;
        (held, isHolding) = (record, true);
    }

    /// <summary>Lets the held exposure go; another one of the same stretch follows.</summary>
    private void ReleaseInside()
    {
        if (isHolding)
        {
            PushLead(out long spread);
            Push(held with { Ticks = held.Ticks + spread });
            isHolding = false;
            ReleaseMarkers();
        }
    }

    private void ReleaseMarkers()
    {
        foreach (DeflectionRecord marker in heldMarkers)
        {
            Push(marker);
        }

        heldMarkers.Clear();
    }

    /// <summary>Lets the held exposure go as the last one of its stretch.</summary>
    private void EndStretch()
    {
        if (isHolding)
        {
            PushEnd();
            ReleaseMarkers();
        }
    }

    private void PushEnd()
    {
        isHolding = false;
        isOn = false;
        if (held.Points == 1 && heldIsFirst)
        {
            PushLast(held.EndX, held.EndY, held.Ticks + onTicks);
            return;
        }

        PushLead(out long spread);
        DeflectionRecord last = held with { Ticks = held.Ticks + spread };

        // As many of the last points as it takes are drawn together at the very last one.
        int points = 1;
        while (points < last.Points && TicksOfLast(last, points) < offTicks + shortestDwell)
        {
            points++;
        }

        long ticks = TicksOfLast(last, points);
        if (offTicks == 0)
        {
            Push(last);
            return;
        }

        if (points < last.Points)
        {
            int kept = last.Points - points;
            LinePoint end = LinePoints.At(last, kept - 1);
            Push(kept == 1
                ? DeflectionRecord.Dot(last.X, last.Y, last.Ticks - ticks)
                : DeflectionRecord.Line(last.X, last.Y, end.X, end.Y, kept, last.Ticks - ticks));
        }

        PushLast(last.EndX, last.EndY, ticks);
    }

    /// <summary>The last point: the blanker is told so early that it gets the asked ticks altogether.</summary>
    private void PushLast(int x, int y, long ticks)
    {
        long commanded = ticks - offTicks;
        if (commanded < shortestDwell)
        {
            OverexposedStretches++;
            LargestExcessTicks = Math.Max(LargestExcessTicks, shortestDwell - commanded);
            commanded = shortestDwell;
        }

        Push(DeflectionRecord.Dot(x, y, commanded));
        if (offTicks > 0)
        {
            Push(DeflectionRecord.Wait(offTicks));
        }
    }

    /// <summary>Lead-in at the first point; one too short for the controller is spread over the first exposure instead.</summary>
    private void PushLead(out long spread)
    {
        spread = 0;
        if (!heldIsFirst || onTicks == 0)
        {
            return;
        }

        if (onTicks >= shortestDwell)
        {
            Push(DeflectionRecord.Dot(held.X, held.Y, onTicks));
        }
        else
        {
            spread = onTicks;
        }
    }

    private static long TicksOfLast(in DeflectionRecord record, int points) =>
        record.Ticks - (long)((Int128)(record.Points - points) * record.Ticks / record.Points);

    private void Push(in DeflectionRecord record)
    {
        batch[batched++] = record;
        if (batched == BatchSize)
        {
            Flush();
        }
    }

    private void Flush()
    {
        output.Write(batch.AsSpan(0, batched));
        batched = 0;
    }
}
