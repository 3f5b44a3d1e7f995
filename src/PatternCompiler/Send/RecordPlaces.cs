using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Send;

/// <summary>Finds a record of a stream: what it is, and the figure that it belongs to.</summary>
internal sealed class RecordPlaces(long wanted) : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private long seen;
    private long? figure;

    /// <summary>The record, or null if the stream has none of this number.</summary>
    public DeflectionRecord? Record { get; private set; }

    /// <summary>The figure's number, or null if the stream names none before the record.</summary>
    public long? Figure { get; private set; }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        foreach (ref readonly DeflectionRecord item in items)
        {
            figure = item.Kind == RecordKind.Marker ? item.Ticks : figure;
            if (seen++ == wanted)
            {
                (Record, Figure) = (item, figure);
            }
        }
    }

    /// <inheritdoc/>
    public void End()
    {
    }
}
