using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>
/// Takes the course of a controller's lines within a window from records as they pass, and where the machine's deflection and beam follow.
/// Memory is the same for all documents and windows.
/// </summary>
/// <param name="name">Name of the document, for messages.</param>
/// <param name="window">What to look at.</param>
/// <param name="machine">Its settling and its blanker; null for what is commanded alone.</param>
internal sealed class WaveformSampler(string name, TraceWindow window, Machine? machine) : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private const int PointsAtOnce = 1024;

    private readonly LinePoint[] points = new LinePoint[PointsAtOnce];
    private readonly EnvelopeColumns columns = new(Waveforms.LineCount);
    private RecordsHeader? header;
    private OutputSettling? settling;
    private BeamShutter? shutter;
    private long fromTick;
    private long endTick;
    private long knownTick;
    private long startTick = -1;
    private long tick;
    private long record;
    private long firstRecord = -1;
    private long lastRecord = -1;
    private int x;
    private int y;
    private bool hasPlace;
    private TriggerEdges? edges;

    /// <summary>Every state within the window, for comparing; null if nobody asks.</summary>
    public ExpectedCourse? Course { get; private set; }

    /// <summary>Keep every state within the window.</summary>
    public bool KeepsCourse { get; init; }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        this.header = header;
        edges = machine?.Trigger is { } input ? new TriggerEdges(input, input.PeriodSeconds / 2) : null;
        x = y = header.Dac.CodeCount / 2;
        settling = machine is null ? null : OutputSettling.Of(machine.Settle, header);
        shutter = machine is { Blanker: { IsPresent: true } blanker } && blanker.OnDelaySeconds + blanker.OffDelaySeconds > 0 ? new BeamShutter(blanker) : null;
        Course = KeepsCourse ? new ExpectedCourse(header) : null;
        if (window.IsOfTime)
        {
            fromTick = TicksOf(window.FromSeconds * header.ClockHertz);
            endTick = TicksOf((window.FromSeconds + window.ForSeconds) * header.ClockHertz);
            knownTick = settling is null ? fromTick : Math.Max(0, fromTick - TicksOf(Math.Ceiling(settling.ForgottenSeconds * header.ClockHertz)));
        }
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        foreach (ref readonly DeflectionRecord item in items)
        {
            Take(item);
            record++;
        }
    }

    /// <inheritdoc/>
    public void End()
    {
    }

    /// <summary>What was seen.</summary>
    /// <exception cref="CompileException">Nothing of the exposure lies in the window.</exception>
    public Waveforms ToWaveforms()
    {
        RecordsHeader known = header ?? throw new InvalidOperationException("The records have not begun.");
        if (columns.Ticks == 0)
        {
            string length = $"lasts {QuantityText.Format(tick / known.ClockHertz, Dimension.Time)} and has {CountText.Of(record, "record", "records")}";
            throw new CompileException(
                PredictionCodes.EmptyWindow,
                window.IsOfTime
                    ? $"nothing of the exposure lies in the window from {QuantityText.Format(window.FromSeconds, Dimension.Time)}: it {length}"
                    : $"no record from {window.FirstRecord} to {window.LastRecord} takes time: the exposure {length}",
                new SourcePlace(name),
                "choose a window within the exposure");
        }

        if (Course is not null)
        {
            Course.ReachesEnd = startTick + columns.Ticks == tick;
        }

        return new Waveforms(known, columns, startTick, tick, firstRecord, lastRecord, record)
        {
            Window = window,
            HasSettling = settling is not null,
            HasBeamDelay = shutter is not null,
            BlankLevel = known.BlankLevel == BlankLevel.NotStated && machine is not null ? machine.Blanker.Level : known.BlankLevel,
        };
    }

    private static long TicksOf(double ticks) => ticks < long.MaxValue / 2 ? (long)Math.Round(ticks) : long.MaxValue / 2;

    private void Take(in DeflectionRecord item)
    {
        switch (item.Kind)
        {
            case RecordKind.Marker:
                break;
            case RecordKind.Wait:
                Hold(item.Ticks, isOn: false);
                break;
            case RecordKind.Trigger:
                Hold(TicksToEdge(item.Ticks), isOn: false);
                break;
            case RecordKind.Line when window.IsOfTime && (tick + item.Ticks <= knownTick || tick >= endTick):
                // Where it goes meanwhile is seen by nobody.
                (x, y) = (item.EndX, item.EndY);
                Hold(item.Ticks, isOn: true);
                break;
            case RecordKind.Line:
                Trace(item);
                break;
            default:
                (x, y) = (item.X, item.Y);
                Hold(item.Ticks, isOn: item.Kind == RecordKind.Dot);
                break;
        }
    }

    /// <summary>To the next edge as the machine states them, the start halfway between two; without a machine's word the longest wait.</summary>
    private long TicksToEdge(long longest)
    {
        double clock = header!.ClockHertz;
        double now = tick / clock;
        return edges is null ? longest : Math.Min(longest, (long)Math.Ceiling((edges.After(now) - now) * clock));
    }

    private void Trace(in DeflectionRecord item)
    {
        for (int done = 0; done < item.Points;)
        {
            int count = LinePoints.Expand(item, done, points);
            foreach (ref readonly LinePoint point in points.AsSpan(0, count))
            {
                (x, y) = (point.X, point.Y);
                Hold(point.Ticks, isOn: true);
            }

            done += count;
        }
    }

    private void Hold(long ticks, bool isOn)
    {
        if (!hasPlace)
        {
            // Where the outputs rested before is unknown: they start where they are first sent.
            settling?.X.Rest(x);
            settling?.Y.Rest(y);
            hasPlace = true;
        }

        settling?.X.Send(x);
        settling?.Y.Send(y);

        long end = tick + ticks;
        bool isWithin = window.IsOfTime ? end > fromTick && tick < endTick : record >= window.FirstRecord && record <= window.LastRecord;
        double seconds = ticks / header!.ClockHertz;
        shutter?.Command(isOn, tick / header.ClockHertz);
        if (isWithin && ticks > 0)
        {
            long from = window.IsOfTime ? Math.Max(tick, fromTick) : tick;
            long to = window.IsOfTime ? Math.Min(end, endTick) : end;
            startTick = startTick < 0 ? from : startTick;
            firstRecord = firstRecord < 0 ? record : firstRecord;
            lastRecord = record;
            double passed = (from - tick) / header.ClockHertz;
            Course?.Add(from, new HeldState(x, y, isOn, to - from), settling?.After(passed));
            Draw(from, to, isOn);
        }

        if (end <= knownTick)
        {
            settling?.X.Rest(x);
            settling?.Y.Rest(y);
        }
        else
        {
            settling?.X.Pass(seconds);
            settling?.Y.Pass(seconds);
        }

        tick = end;
        shutter?.AdvanceTo(tick / header.ClockHertz);
    }

    /// <summary>The lines between two ticks of a state, column by column.</summary>
    private void Draw(long from, long to, bool isOn)
    {
        long start = columns.Ticks;
        (int first, int end) = columns.Extend(to - from);
        long width = columns.TicksPerColumn;
        double before = isOn ? 1 : 0;
        for (int column = first; column < end; column++)
        {
            // Of the columns, back to ticks of the exposure.
            long a = Math.Max(from, column * width - start + from);
            long b = Math.Min(to, (column + 1) * width - start + from);
            columns.Add(Waveforms.X, column, Envelope.Between(x, x));
            columns.Add(Waveforms.Y, column, Envelope.Between(y, y));
            columns.Add(Waveforms.Beam, column, Envelope.Between(before, before));
            if (settling is not null)
            {
                double early = (a - tick) / header!.ClockHertz;
                double late = (b - tick) / header.ClockHertz;
                columns.Add(Waveforms.SettledX, column, Envelope.Between(x + settling.X.After(early), x + settling.X.After(late)));
                columns.Add(Waveforms.SettledY, column, Envelope.Between(y + settling.Y.After(early), y + settling.Y.After(late)));
            }

            if (shutter is not null)
            {
                AddBeam(shutter, column, a / header!.ClockHertz, b / header.ClockHertz);
            }
        }
    }

    private void AddBeam(BeamShutter beam, int column, double from, double to)
    {
        beam.AdvanceTo(from);
        AddPassed(from);
        while (beam.NextChange < to)
        {
            double change = beam.NextChange;
            beam.AdvanceTo(change);
            AddPassed(change);
        }

        if (beam.IsMoving)
        {
            AddPassed(to);
        }

        void AddPassed(double at) => columns.Add(Waveforms.DelayedBeam, column, Envelope.Between(beam.PassedAt(at), beam.PassedAt(at)));
    }
}
