using PatternCompiler.Model;

namespace PatternCompiler.Prediction.Compare;

/// <summary>Holds a streamed document whole, for comparisons.</summary>
internal sealed class CollectedDocument<THeader, TItem> : IDocumentSink<THeader, TItem>
    where THeader : class
    where TItem : struct
{
    private THeader? header;

    /// <summary>What precedes the items.</summary>
    public THeader Header => header ?? throw new InvalidOperationException("The document has not begun.");

    /// <summary>The items.</summary>
    internal List<TItem> Items { get; } = [];

    /// <inheritdoc/>
    public void Begin(THeader header) => this.header = header;

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<TItem> items) => Items.AddRange(items);

    /// <summary>Gives the document to another sink.</summary>
    public void Replay(IDocumentSink<THeader, TItem> sink)
    {
        sink.Begin(Header);
        sink.Write(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(Items));
        sink.End();
    }

    /// <inheritdoc/>
    public void End()
    {
    }
}
