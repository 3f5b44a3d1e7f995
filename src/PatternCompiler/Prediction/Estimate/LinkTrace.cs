using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Instrument;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// Follows the blocks of exposure streams over the link and through the controller, as the stream's README.md has it. A
/// record is written once its whole block has come, writing starts with the first block, a block's room is free again when its
/// last record is done, and a block is sent only when there is room for it. What credit takes on its way back to the sender is not
/// counted.
/// </summary>
/// <remarks>Memory grows with the controller's buffer, by 16 bytes for a block, and not with the streams.</remarks>
internal sealed class LinkTrace
{
    private readonly Link link;
    private readonly double clockHertz;
    private readonly long blocksHeld;

    // Times are whole numbers of one unit, so that a block that comes just in time is no stall.
    private readonly Int128 unitsPerByte;
    private readonly Int128 unitsPerTick;
    private readonly double scaledRate;

    // When the blocks that still take room, the next one to be free first, will be done.
    private readonly Queue<Int128> held = [];
    private readonly RateWindow window;
    private Int128 arrived;
    private Int128 done;
    private bool isWriting;
    private long totalBytes;
    private Int128 totalTicks;
    private Int128 stalled;
    private Int128 longest;
    private long stalls;
    private StallPlace? worst;
    private StallPlace? first;

    /// <summary>Prepares to follow streams; the first one begins.</summary>
    /// <param name="link">The link and the controller's buffer.</param>
    /// <param name="clockHertz">Ticks per second.</param>
    public LinkTrace(Link link, double clockHertz)
    {
        this.link = link;
        this.clockHertz = clockHertz;

        // A receiver gives credit before it knows how long a block will be.
        blocksHeld = Math.Max(1, link.BufferBytes / StreamFormat.LargestBlock);
        window = new RateWindow(blocksHeld);

        // A byte takes as many units as there are ticks in a second, and a tick as many as there are bytes; both times a power
        // of two that keeps 53 bits of the larger one. Whole rates below that are exact.
        const int KeptBits = 52;
        int power = KeptBits - Math.ILogB(Math.Max(clockHertz, link.BytesPerSecond));
        scaledRate = Math.ScaleB(link.BytesPerSecond, power);
        unitsPerByte = (Int128)Math.Round(Math.ScaleB(clockHertz, power));
        unitsPerTick = (Int128)Math.Round(scaledRate);
    }

    /// <summary>
    /// Another stream begins after the one before. Its header and first block travel before it is written, which is no stall.
    /// </summary>
    public void BeginStream()
    {
        isWriting = false;
        arrived = done;
    }

    /// <summary>Takes the next block of records.</summary>
    /// <param name="bytes">Its bytes, framing included.</param>
    /// <param name="ticks">How long its records run.</param>
    /// <param name="start">Its first record.</param>
    public void Take(int bytes, long ticks, in BlockStart start)
    {
        while (held.TryPeek(out Int128 free) && free <= arrived)
        {
            held.Dequeue();
        }

        if (held.Count == blocksHeld)
        {
            arrived = held.Dequeue();
        }

        arrived += bytes * unitsPerByte;
        if (isWriting && arrived > done)
        {
            Stall(arrived - done, start);
        }

        isWriting = true;
        done = Int128.Max(done, arrived) + ticks * unitsPerTick;
        held.Enqueue(done);
        totalBytes += bytes;
        totalTicks += ticks;
        window.Take(bytes, ticks);
    }

    /// <summary>What was found.</summary>
    public LinkEstimate ToEstimate() => new(
        link.BytesPerSecond,
        link.BufferBytes,
        totalTicks > 0 ? totalBytes / Seconds(totalTicks * unitsPerTick) : 0,
        window.BusiestBytesPerTick * clockHertz,
        stalls,
        Seconds(stalled),
        Seconds(longest),
        first,
        worst);

    private void Stall(Int128 time, in BlockStart start)
    {
        stalls++;
        if (time > longest)
        {
            longest = time;
            worst = new StallPlace(start.Record, start.Figure, start.XNanometres, start.YNanometres, Seconds(totalTicks * unitsPerTick + stalled)) { Field = start.Field };
            first ??= worst;
        }

        stalled += time;
    }

    private double Seconds(Int128 units) => (double)units / scaledRate / clockHertz;
}
