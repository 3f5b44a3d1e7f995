namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// A link and a controller that holds a number of blocks: when each block has come and when it is done. A block is sent when the one before
/// has been sent and the credit for a free room has come back; it is written when it has come and the one before is done.
/// </summary>
/// <param name="blocks">Blocks that the controller holds.</param>
/// <param name="roundTrip">From a room's being free to the first byte of the block for it, in units of time.</param>
internal sealed class BlockQueue(long blocks, Int128 roundTrip)
{
    // When the rooms that are taken, the next one to be free first, may be filled again.
    private readonly Queue<Int128> taken = [];
    private Int128 arrived;
    private Int128 done;
    private bool isWriting;

    /// <summary>Blocks that the controller holds.</summary>
    public long Blocks => blocks;

    /// <summary>Another stream begins after the one before: all rooms are free, and waiting for its first block is no stall.</summary>
    public void BeginStream()
    {
        isWriting = false;
        arrived = done;
        taken.Clear();
    }

    /// <summary>The next block.</summary>
    /// <param name="travel">How long its bytes take.</param>
    /// <param name="writing">How long its records run.</param>
    /// <returns>How long the controller waits for it, with everything before it done.</returns>
    public Int128 Take(Int128 travel, Int128 writing)
    {
        while (taken.TryPeek(out Int128 free) && free <= arrived)
        {
            taken.Dequeue();
        }

        if (taken.Count == blocks)
        {
            arrived = taken.Dequeue();
        }

        arrived += travel;
        Int128 stall = isWriting && arrived > done ? arrived - done : 0;
        isWriting = true;
        done = Int128.Max(done, arrived) + writing;
        taken.Enqueue(done + roundTrip);
        return stall;
    }
}
