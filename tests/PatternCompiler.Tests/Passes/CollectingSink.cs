using PatternCompiler.Model;

namespace PatternCompiler.Tests.Passes;

/// <summary>Keeps a whole document for inspection.</summary>
internal sealed class CollectingSink<THeader, TItem> : IDocumentSink<THeader, TItem>
    where THeader : class
    where TItem : struct
{
    public THeader? Header { get; private set; }

    public List<TItem> Items { get; } = [];

    public bool HasEnded { get; private set; }

    public void Begin(THeader header) => Header = header;

    public void Write(ReadOnlySpan<TItem> items) => Items.AddRange(items);

    public void End() => HasEnded = true;
}
