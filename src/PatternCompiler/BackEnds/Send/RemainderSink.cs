using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Send;

/// <summary>
/// Passes on the records from a number on. Where the first of them exposes, a jump to its place comes before it, with the
/// longest settling of any jump before, since the deflection may now come from anywhere.
/// </summary>
internal sealed class RemainderSink(IDocumentSink<RecordsHeader, DeflectionRecord> inner, long firstRecord)
    : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private long longestSettle;
    private long seen;

    /// <summary>A jump was put in before the first record.</summary>
    public bool HasJump { get; private set; }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header) => inner.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        while (items.Length > 0 && seen < firstRecord)
        {
            longestSettle = items[0].Kind == RecordKind.Jump ? Math.Max(longestSettle, items[0].Ticks) : longestSettle;
            seen++;
            items = items[1..];
        }

        if (items.Length > 0 && seen == firstRecord && items[0].Points > 0)
        {
            HasJump = true;
            inner.Write([DeflectionRecord.Jump(items[0].X, items[0].Y, longestSettle)]);
        }

        seen += items.Length;
        inner.Write(items);
    }

    /// <inheritdoc/>
    public void End() => inner.End();
}
