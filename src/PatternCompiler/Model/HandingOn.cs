namespace PatternCompiler.Model;

/// <summary>
/// Hands a document on to a sink in large parts, each on another thread while the next one is made. The sink meets the same items in
/// the same order as if it were called directly, one part at a time; begin and end come from the thread that makes the document.
/// </summary>
/// <typeparam name="THeader">What precedes the items.</typeparam>
/// <typeparam name="TItem">One item.</typeparam>
internal sealed class HandingOn<THeader, TItem> : IDocumentSink<THeader, TItem>
    where TItem : struct
{
    // Parts grow: small documents take little memory, and long ones few changes between threads.
    private const int FirstPart = 512;
    private const int LargestPart = 1 << 14;

    private readonly IDocumentSink<THeader, TItem> next;
    private TItem[] filling = new TItem[FirstPart];
    private TItem[] spare = [];
    private int filled;
    private Task taking = Task.CompletedTask;
    private bool hasFailed;

    private HandingOn(IDocumentSink<THeader, TItem> next) => this.next = next;

    /// <summary>Makes a document and hands it on.</summary>
    /// <param name="next">Takes it.</param>
    /// <param name="make">Writes it into the sink that it is given.</param>
    /// <returns>What making it returns.</returns>
    /// <remarks>Of two faults the one is thrown that comes first in the document: the sink's, if it has one.</remarks>
    public static TResult Run<TResult>(IDocumentSink<THeader, TItem> next, Func<IDocumentSink<THeader, TItem>, TResult> make)
    {
        var handing = new HandingOn<THeader, TItem>(next);
        try
        {
            return make(handing);
        }
        catch (OperationCanceledException)
        {
            // Nobody needs what is left, but nothing may be written any more when the owner of the target discards it.
            handing.taking.ContinueWith(_ => { }, TaskScheduler.Default).Wait(CancellationToken.None);
            throw;
        }
        catch (Exception) when (!handing.hasFailed)
        {
            handing.Flush();
            throw;
        }
    }

    /// <inheritdoc/>
    public void Begin(THeader header) => next.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<TItem> items)
    {
        while (items.Length > 0)
        {
            if (filled == filling.Length)
            {
                HandOver();
            }

            int count = Math.Min(items.Length, filling.Length - filled);
            items[..count].CopyTo(filling.AsSpan(filled));
            filled += count;
            items = items[count..];
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        Flush();
        next.End();
    }

    private void HandOver()
    {
        // One part is on its way at most.
        Await();
        (TItem[] full, int count) = (filling, filled);
        (filling, spare, filled) = (spare.Length == LargestPart ? spare : new TItem[Math.Min(LargestPart, 2 * count)], full, 0);
        taking = Task.Run(() => next.Write(full.AsSpan(0, count)));
    }

    /// <summary>Waits until everything is taken.</summary>
    private void Flush()
    {
        Await();
        (int last, filled) = (filled, 0);
        if (last > 0)
        {
            next.Write(filling.AsSpan(0, last));
        }
    }

    // A fault of the sink ends the run here; it gets nothing more.
    private void Await()
    {
        try
        {
            taking.GetAwaiter().GetResult();
        }
        catch
        {
            hasFailed = true;
            throw;
        }
    }
}
