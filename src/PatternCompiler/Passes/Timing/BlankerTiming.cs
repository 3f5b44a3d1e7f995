using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Passes.Timing;

/// <summary>
/// Compensates a blanker that answers late and may leak. A beam-on segment is led in by the on-delay at its first
/// point, where nothing arrives yet; it ends the off-delay earlier, and the deflection stays at the last point until the
/// beam is really off. So each segment gets its charge, and no tail is drawn along the jump that follows. Off-times shorter
/// than the blanker can follow are lengthened. Where the beam rises and falls slowly, the wait at the last point is longer, until less
/// than a thousandth of it is left, and segments too short for the whole beam get what <see cref="BlankerEdges"/> says. The scan-enable line gets its time at both ends of the document.
/// </summary>
/// <remarks>
/// The beam cannot be on for less than the off-delay and the shortest dwell together, less the on-delay where the segment is
/// one point. As many of the last points of a segment and a figure as that takes are written together at the last one, as far as
/// these lie within reach of it: charge stays where it was asked for. A segment that is shorter gets more than it asks for; other records of the same figure then get as much less.
/// Parts of a tick by which delays are off whole ticks, and what leaks in focus at the first point while the deflection settles, add
/// up figure by figure and are compensated in whole ticks. Markers tell the figures; records without any are taken for one.
/// </remarks>
internal sealed class BlankerTiming : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private readonly Blanker blanker;
    private readonly IDocumentSink<RecordsHeader, DeflectionRecord> output;
    private readonly DwellWindow window;
    private readonly FigureValues fractions = new();
    private readonly List<DeflectionRecord> heldMarkers = [];
    private long onTicks;
    private long offTicks;
    private long shortestOffTicks;
    private long enableTicks;
    private long disableTicks;
    private long shortestDwell;
    private long longestDwell;
    private double onFraction;
    private double offFraction;
    private double leak;
    private BlankerEdges edges;
    private long quietTicks;

    // Of the record that comes, and of the last one of the segment.
    private long figure;
    private long segmentFigure;
    private bool isOn;
    private bool isLedIn;
    private bool isOneDot;
    private long restTicks;
    private long lastFigureBegin;
    private long triggerTicks;

    // A wait behind a trigger is at the place that is written next.
    private bool isAwaited;
    private long leastOffDelayTicks = long.MaxValue;

    /// <summary>Corrects into <paramref name="output"/>.</summary>
    public BlankerTiming(Blanker blanker, IDocumentSink<RecordsHeader, DeflectionRecord> output)
    {
        this.blanker = blanker;
        this.output = output;
        window = new DwellWindow(output);
    }

    /// <summary>Codes on either axis by which points may be moved to the end of their segment.</summary>
    internal int ReachCodes { get; init; } = int.MaxValue;

    /// <summary>Ticks that a wait for a trigger takes on average.</summary>
    internal long MeanTriggerTicks { get; init; }

    /// <summary>When the beam arrives for the next exposure, since the start of writing.</summary>
    public long ElapsedTicks => window.ElapsedTicks + triggerTicks + (isOn ? 0 : onTicks);

    /// <summary>What figures got more than they ask for, all together.</summary>
    internal Excess Excess
    {
        get
        {
            Excess all = window.Owed.Aggregate(Excess.None, (all, figure) => all.With(figure));

            // What one segment gets too much another may have given back: with a shorter delay it would have that to give no more.
            return all.OffDelayTicks == long.MaxValue ? all : all with { OffDelayTicks = leastOffDelayTicks };
        }
    }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        (onTicks, onFraction) = Delay(blanker.OnDelaySeconds);
        (offTicks, offFraction) = Delay(blanker.OffDelaySeconds);
        leak = blanker.FocusedLeakFraction;
        edges = BlankerEdges.Of(blanker, header.ClockHertz);
        quietTicks = (long)Math.Ceiling(edges.OffAfterDelay);
        (shortestOffTicks, _) = Delay(blanker.ShortestPulseSeconds);
        (shortestDwell, longestDwell) = (header.MinimumDwellTicks, header.MaximumDwellTicks);
        enableTicks = Ticks(blanker.ScanEnableSeconds);
        disableTicks = Ticks(blanker.ScanDisableSeconds);
        output.Begin(header);
        if (enableTicks > 0)
        {
            window.Push(DeflectionRecord.Wait(enableTicks));
        }

        long Ticks(double seconds) => (long)Math.Ceiling(seconds * header.ClockHertz - 1e-6);

        // Rounded up, and how much: less than a millionth of a tick is the rounding of the product.
        (long, double) Delay(double seconds)
        {
            double exact = blanker.IsPresent ? seconds * header.ClockHertz : 0;
            double ticks = Math.Ceiling(exact - 1e-6);
            return ((long)ticks, ticks - exact < 1e-6 ? 0 : ticks - exact);
        }
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
                case RecordKind.Marker:
                    Mark(record);
                    break;
                case RecordKind.Trigger:
                    Await(record);
                    break;
                default:
                    EndSegment();
                    DeflectionRecord off = record with { Ticks = Math.Max(record.Ticks, shortestOffTicks) };
                    window.Push(off);
                    restTicks = record.Kind == RecordKind.Jump ? off.Ticks : isAwaited ? restTicks + off.Ticks : 0;
                    isAwaited &= record.Kind != RecordKind.Jump;
                    break;
            }
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        EndSegment();
        if (disableTicks > 0)
        {
            window.Push(DeflectionRecord.Wait(disableTicks));
            AddFraction(segmentFigure, leak * disableTicks);
        }

        window.Flush();
        output.End();
    }

    private void Mark(in DeflectionRecord marker)
    {
        figure = marker.Ticks;
        if (isOn)
        {
            // Whether the segment goes on behind it is not known yet.
            heldMarkers.Add(marker);
        }
        else
        {
            window.Push(marker);
        }
    }

    /// <summary>An edge may come at once, so the blanker gets its shortest time before.</summary>
    private void Await(in DeflectionRecord trigger)
    {
        if (isOn)
        {
            EndSegment();
            window.Push(DeflectionRecord.Wait(shortestOffTicks));
            restTicks = shortestOffTicks;
        }

        window.Push(trigger);
        triggerTicks += MeanTriggerTicks;
        isAwaited = true;
    }

    private void ReleaseMarkers()
    {
        foreach (DeflectionRecord marker in heldMarkers)
        {
            window.Push(marker);
        }

        heldMarkers.Clear();
    }

    private void Expose(in DeflectionRecord record)
    {
        segmentFigure = figure;
        if (!isOn)
        {
            StartSegment(record);
            return;
        }

        isOneDot = false;
        if (heldMarkers.Count > 0)
        {
            ReleaseMarkers();
            lastFigureBegin = window.End;
        }

        Push(record);
    }

    /// <summary>Lead-in at the first point; one too short for the controller is spread over the first exposure instead.</summary>
    private void StartSegment(in DeflectionRecord first)
    {
        isOn = true;
        isOneDot = first.Points == 1;
        isLedIn = onTicks >= shortestDwell;
        window.BeginSegment();
        if (isLedIn)
        {
            PushDwell(first.X, first.Y, onTicks, DwellWindow.Fixed, onTicks);
        }

        lastFigureBegin = window.End;
        if (isLedIn)
        {
            Push(first);
        }
        else if (LinePoints.LongestDwell(first with { Ticks = first.Ticks + onTicks }) <= longestDwell)
        {
            Push(first with { Ticks = first.Ticks + onTicks });
        }
        else
        {
            PushDwell(first.X, first.Y, LinePoints.At(first, 0).Ticks + onTicks, figure, shortestDwell);
            if (first.Points > 1)
            {
                Push(RecordParts.WithoutFirst(first));
            }
        }

        AddFraction(figure, leak * (restTicks + onTicks) + (1 - leak) * onFraction);
    }

    private void EndSegment()
    {
        if (!isOn)
        {
            return;
        }

        isOn = false;
        if (edges.AreSlow)
        {
            // What the tail cannot make up for in whole ticks is carried on.
            AddFraction(segmentFigure, (leak - 1) * offFraction + leak * quietTicks);
            PushTail();
        }
        else
        {
            if (offTicks > 0 || (isOneDot && isLedIn))
            {
                PushTail();
            }

            AddFraction(segmentFigure, (leak - 1) * offFraction);
        }

        ReleaseMarkers();
    }

    /// <summary>The last points: the blanker is told so early that they get the asked ticks altogether.</summary>
    private void PushTail()
    {
        (int x, int y) = (window.Last.EndX, window.Last.EndY);
        long fewest = offTicks + shortestDwell;
        long ticks = 0;
        long begin = Math.Max(lastFigureBegin, window.Begin);
        while ((ticks < fewest || isOneDot) && window.End > begin)
        {
            DeflectionRecord record = window.Pop();
            int points = 0;
            while (points < record.Points && (points == 0 || ticks + RecordParts.TicksOfLast(record, points) < fewest) && IsWithinReach(record, points + 1, x, y))
            {
                points++;
            }

            if (points == 0)
            {
                Push(record);
                break;
            }

            ticks += RecordParts.TicksOfLast(record, points);
            if (points < record.Points)
            {
                Push(RecordParts.WithoutLast(record, points));
            }
        }

        // At one point it makes no difference whether the beam is not on yet or off already.
        bool isWhole = !isLedIn && window.End == window.SegmentBegin;
        if (isLedIn && window.End == lastFigureBegin && window.SegmentBegin >= window.Begin && (isOneDot || ticks < fewest))
        {
            while (window.End > window.SegmentBegin)
            {
                ticks += window.Pop().Ticks;
                isWhole = true;
            }
        }

        long dark = isWhole ? onTicks : 0;
        long floor = Math.Max(shortestDwell, dark - offTicks);
        long commanded = Math.Max(ticks - offTicks, shortestDwell);
        Excess excess = commanded > ticks - offTicks ? new Excess(commanded - (ticks - offTicks), ticks - shortestDwell) : Excess.None;
        leastOffDelayTicks = Math.Min(leastOffDelayTicks, excess.OffDelayTicks);
        if (edges.AreSlow)
        {
            PushSlowly(x, y, commanded, floor, excess);
        }
        else
        {
            PushDwell(x, y, commanded, segmentFigure, floor);
        }

        if (offTicks > 0)
        {
            window.Push(DeflectionRecord.Wait(offTicks + quietTicks));
        }

        window.TakeBack(segmentFigure, edges.AreSlow ? Excess.None : excess);
    }

    /// <summary>
    /// The last dwell of a segment, by what its pulse really lets through. Where that is less than the whole beam a tick of the line is not
    /// one of charge: such a segment gives and takes no others.
    /// </summary>
    private void PushSlowly(int x, int y, long dwell, long floor, in Excess excess)
    {
        Excess owed = window.Settle(segmentFigure).With(excess);
        ref double due = ref fractions[(int)segmentFigure];
        (long less, double left) = ShortPulse.TooLong(edges, leak, window.SegmentTicks + dwell, dwell - floor, due + owed.Ticks);
        due = 0;
        PushDwell(x, y, dwell - less, segmentFigure, floor);
        window.HoldSegment(window.SegmentTicks - ShortPulse.LongFrom(edges));
        AddFraction(segmentFigure, left, owed.OffDelayTicks);
    }

    private bool IsWithinReach(in DeflectionRecord record, int points, int x, int y)
    {
        LinePoint point = LinePoints.At(record, record.Points - points);
        return Math.Max(Math.Abs((long)point.X - x), Math.Abs((long)point.Y - y)) <= ReachCodes;
    }

    /// <summary>One dwell at one place, as several where the controller does not count so far.</summary>
    private void PushDwell(int x, int y, long ticks, long of, long floor)
    {
        long left = ticks;
        if (left > longestDwell && left < 2 * shortestDwell)
        {
            left = 2 * shortestDwell;
            window.TakeBack(segmentFigure, Excess.None with { Ticks = left - ticks });
        }

        while (left > longestDwell)
        {
            long part = Math.Min(longestDwell, left - shortestDwell);
            window.Push(DeflectionRecord.Dot(x, y, part), of, shortestDwell);
            left -= part;
        }

        window.Push(DeflectionRecord.Dot(x, y, left), of, floor);
    }

    private void Push(in DeflectionRecord record) => window.Push(record, segmentFigure, record.Points * shortestDwell);

    /// <summary>A figure gets parts of a tick more than it is meant to, or less; with what off-delay it would get no more.</summary>
    private void AddFraction(long of, double ticks, long offDelayTicks = long.MaxValue)
    {
        if (ticks == 0)
        {
            return;
        }

        ref double due = ref fractions[(int)of];
        due += ticks;
        long whole = (long)Math.Floor(due + 0.5);
        if (whole > 0)
        {
            window.TakeBack(of, new Excess(whole, offDelayTicks));
            due -= whole;
        }
        else if (whole < 0 && window.TryAdd(of, -whole, longestDwell))
        {
            due -= whole;
        }
    }
}
