using PatternCompiler.Model;

namespace PatternCompiler.Tests.Model.Carriers;

/// <summary>Keeps everything it is given, and checks the order of calls.</summary>
internal sealed class CollectingSink<THeader, TItem> : IDocumentSink<THeader, TItem>
    where THeader : class
    where TItem : struct
{
    public THeader? Header { get; private set; }

    public List<TItem> Items { get; } = [];

    public bool HasEnded { get; private set; }

    public void Begin(THeader header)
    {
        Assert.Null(Header);
        Header = header;
    }

    public void Write(ReadOnlySpan<TItem> items)
    {
        Assert.NotNull(Header);
        Assert.False(HasEnded);
        Items.AddRange(items);
    }

    public void End()
    {
        Assert.NotNull(Header);
        Assert.False(HasEnded);
        HasEnded = true;
    }
}
