using PatternCompiler.Model;

namespace PatternCompiler.Fuzz.Targets;

/// <summary>Takes a document and forgets it.</summary>
internal sealed class Discard<THeader, TItem> : IDocumentSink<THeader, TItem>
    where TItem : struct
{
    /// <summary>Items that were taken.</summary>
    public long Count { get; private set; }

    /// <summary>The header, once the document has begun.</summary>
    public THeader? Header { get; private set; }

    public void Begin(THeader header) => Header = header;

    public void Write(ReadOnlySpan<TItem> items) => Count += items.Length;

    public void End()
    {
    }
}
