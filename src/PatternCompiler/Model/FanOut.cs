namespace PatternCompiler.Model;

/// <summary>Passes a document on to several sinks, item by item.</summary>
internal sealed class FanOut<THeader, TItem>(IReadOnlyList<IDocumentSink<THeader, TItem>> sinks) : IDocumentSink<THeader, TItem>
    where TItem : struct
{
    /// <inheritdoc/>
    public void Begin(THeader header)
    {
        foreach (IDocumentSink<THeader, TItem> sink in sinks)
        {
            sink.Begin(header);
        }
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<TItem> items)
    {
        foreach (IDocumentSink<THeader, TItem> sink in sinks)
        {
            sink.Write(items);
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        foreach (IDocumentSink<THeader, TItem> sink in sinks)
        {
            sink.End();
        }
    }
}
