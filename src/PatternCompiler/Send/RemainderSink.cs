using System.Runtime.InteropServices;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Send;

/// <summary>
/// Passes on the records from a number on. The deflection may come from anywhere, so the first place is reached by a jump
/// that waits at least as long as any jump before it: by the stream's own jump where it has one there, else by one that is
/// put in. Where records before have waited for a trigger, the rest of what they began is written at the same time after an
/// edge: behind the jump a trigger is waited for again, and then as long as the records since the last one took.
/// </summary>
internal sealed class RemainderSink(IDocumentSink<RecordsHeader, DeflectionRecord> inner, long firstRecord)
    : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private long longestSettle;
    private long longestWait;
    private long ticksSinceTrigger;
    private int x;
    private int y;
    private long seen;
    private readonly List<DeflectionRecord> held = [];
    private bool isPlaced;

    /// <summary>How many records were passed on before those that were put in, or null if there are none.</summary>
    public long? FirstAdded { get; private set; }

    /// <summary>How many were put in.</summary>
    public int Added { get; private set; }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header) => inner.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        while (items.Length > 0 && !isPlaced)
        {
            DeflectionRecord item = items[0];
            longestSettle = item.Kind == RecordKind.Jump ? Math.Max(longestSettle, item.Ticks) : longestSettle;
            if (seen >= firstRecord)
            {
                Place(item);
            }
            else
            {
                Remember(item);
            }

            seen++;
            items = items[1..];
        }

        inner.Write(items);
    }

    /// <inheritdoc/>
    public void End()
    {
        inner.Write(CollectionsMarshal.AsSpan(held));
        inner.End();
    }

    /// <summary>How many of the stream's own records are among the first that were passed on.</summary>
    public long OwnAmong(long passedOn) => passedOn - Math.Clamp(passedOn - (FirstAdded ?? passedOn), 0, Added);

    /// <summary>True for a record that was put in.</summary>
    public bool IsAdded(long passedOn) => passedOn >= FirstAdded && passedOn < FirstAdded + Added;

    private void Remember(in DeflectionRecord item)
    {
        if (item.Kind <= RecordKind.Line)
        {
            (x, y) = (item.EndX, item.EndY);
        }

        (longestWait, ticksSinceTrigger) = item.Kind == RecordKind.Trigger ? (item.Ticks, 0) : (longestWait, ticksSinceTrigger + item.TimedTicks);
    }

    private void Place(in DeflectionRecord item)
    {
        if (held.Count > 0)
        {
            if (item.Kind == RecordKind.Marker)
            {
                held.Add(item);
                return;
            }

            // Its own jump is there; what follows tells whether it waits for a trigger by itself.
            inner.Write(CollectionsMarshal.AsSpan(held));
            isPlaced = true;
            PutIn(seen - firstRecord, item.Kind == RecordKind.Trigger ? [] : Phase());
            inner.Write([item]);
            held.Clear();
            return;
        }

        if (item.Kind == RecordKind.Jump)
        {
            ticksSinceTrigger += item.Ticks;
            held.Add(DeflectionRecord.Jump(item.X, item.Y, longestSettle));
            return;
        }

        if (item.Points > 0 || item.Kind == RecordKind.Trigger || (longestWait > 0 && item.Kind == RecordKind.Wait))
        {
            isPlaced = true;
            DeflectionRecord to = item.Points > 0 ? DeflectionRecord.Jump(item.X, item.Y, longestSettle) : DeflectionRecord.Jump(x, y, longestSettle);
            PutIn(seen - firstRecord, item.Kind == RecordKind.Trigger ? [to] : [to, .. Phase()]);
        }

        inner.Write([item]);
    }

    /// <summary>The trigger again, and the time since it.</summary>
    private DeflectionRecord[] Phase() => longestWait == 0 || ticksSinceTrigger > StreamFormat.LargestPair ? []
        : ticksSinceTrigger == 0 ? [DeflectionRecord.Trigger(longestWait)]
        : [DeflectionRecord.Trigger(longestWait), DeflectionRecord.Wait(ticksSinceTrigger)];

    private void PutIn(long at, DeflectionRecord[] records)
    {
        if (records.Length > 0)
        {
            (FirstAdded, Added) = (at, records.Length);
            inner.Write(records);
        }
    }
}
