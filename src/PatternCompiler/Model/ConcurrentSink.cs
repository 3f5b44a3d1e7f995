using System.Runtime.ExceptionServices;

namespace PatternCompiler.Model;

/// <summary>
/// Hands a document's items on in another thread, while the one that makes them goes on: for a sink that only adds up. It gets them in
/// order, one call at a time, and is to be asked for results after <see cref="Drain"/> or <see cref="End"/> only. What it throws is
/// thrown by the next call here.
/// </summary>
internal sealed class ConcurrentSink<THeader, TItem>(IDocumentSink<THeader, TItem> target) : IDocumentSink<THeader, TItem>
    where TItem : struct
{
    private const int Size = 4096;

    private TItem[] filling = new TItem[Size];
    private TItem[] passing = new TItem[Size];
    private int filled;
    private Task? work;

    /// <inheritdoc/>
    public void Begin(THeader header)
    {
        Drain();
        target.Begin(header);
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<TItem> items)
    {
        while (!items.IsEmpty)
        {
            int taken = Math.Min(items.Length, Size - filled);
            items[..taken].CopyTo(filling.AsSpan(filled));
            filled += taken;
            items = items[taken..];
            if (filled == Size)
            {
                Pass();
            }
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        Drain();
        target.End();
    }

    /// <summary>Waits until the sink has taken all that was written.</summary>
    public void Drain()
    {
        if (filled > 0)
        {
            Pass();
        }

        Wait();
    }

    private void Pass()
    {
        Wait();
        (filling, passing) = (passing, filling);
        int count = filled;
        filled = 0;
        work = Task.Run(() => target.Write(passing.AsSpan(0, count)));
    }

    private void Wait()
    {
        Task? before = work;
        work = null;
        try
        {
            before?.Wait();
        }
        catch (AggregateException fault)
        {
            ExceptionDispatchInfo.Throw(fault.InnerException!);
        }
    }
}
