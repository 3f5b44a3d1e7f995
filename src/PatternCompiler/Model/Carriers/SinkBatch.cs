namespace PatternCompiler.Model.Carriers;

/// <summary>Gathers single items into spans for a sink.</summary>
internal sealed class SinkBatch<THeader, TItem>(IDocumentSink<THeader, TItem> sink, CancellationToken cancellation)
    where TItem : struct
{
    private const int Size = 1024;

    private readonly TItem[] items = new TItem[Size];
    private int used;

    /// <summary>Items so far.</summary>
    public long Count { get; private set; }

    /// <summary>Adds an item.</summary>
    public void Add(in TItem item)
    {
        items[used++] = item;
        Count++;
        if (used == Size)
        {
            Flush();
        }
    }

    /// <summary>Passes on what is gathered.</summary>
    public void Flush()
    {
        cancellation.ThrowIfCancellationRequested();
        if (used > 0)
        {
            sink.Write(items.AsSpan(0, used));
            used = 0;
        }
    }

    /// <summary>Passes on what is gathered and ends the document.</summary>
    public void End()
    {
        Flush();
        sink.End();
    }
}
