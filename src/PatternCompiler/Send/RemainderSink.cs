using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Send;

/// <summary>
/// Passes on the records from a number on. The deflection may come from anywhere, so the first place is reached by a jump
/// that waits at least as long as any jump before it: by the stream's own jump where it has one there, else by one that is
/// put in before the first record that exposes.
/// </summary>
internal sealed class RemainderSink(IDocumentSink<RecordsHeader, DeflectionRecord> inner, long firstRecord)
    : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private long longestSettle;
    private long seen;
    private bool isPlaced;

    /// <summary>How many records were passed on before the jump that was put in, or null if there is none.</summary>
    public long? AddedJump { get; private set; }

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

            seen++;
            items = items[1..];
        }

        inner.Write(items);
    }

    /// <inheritdoc/>
    public void End() => inner.End();

    /// <summary>How many of the stream's own records are among the first that were passed on.</summary>
    public long OwnAmong(long passedOn) => passedOn > AddedJump ? passedOn - 1 : passedOn;

    private void Place(in DeflectionRecord item)
    {
        if (item.Points > 0)
        {
            AddedJump = seen - firstRecord;
            inner.Write([DeflectionRecord.Jump(item.X, item.Y, longestSettle)]);
        }

        isPlaced = item.Points > 0 || item.Kind == RecordKind.Jump;
        inner.Write([item.Kind == RecordKind.Jump ? DeflectionRecord.Jump(item.X, item.Y, longestSettle) : item]);
    }
}
