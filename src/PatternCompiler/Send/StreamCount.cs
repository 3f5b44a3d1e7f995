using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Send;

/// <summary>Counts what a stream holds, and the ticks before a record.</summary>
internal sealed class StreamCount(long firstRecord) : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    /// <summary>Everything.</summary>
    public RecordTotals Totals { get; private set; }

    /// <summary>Clock ticks of the records before the given one.</summary>
    public long SkippedTicks { get; private set; }

    /// <summary>Ticks per second.</summary>
    public double ClockHertz { get; private set; }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header) => ClockHertz = header.ClockHertz;

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        int skipped = (int)Math.Clamp(firstRecord - Totals.Records, 0, items.Length);
        SkippedTicks = default(RecordTotals).Plus(items[..skipped]).Ticks + SkippedTicks;
        Totals = Totals.Plus(items);
    }

    /// <inheritdoc/>
    public void End()
    {
    }
}
