namespace PatternCompiler.Send;

/// <summary>
/// How far the receiver is with one stream, by its own word, which is compared with what it said before and against what it
/// was sent. Once it contradicts either it is not believed any more.
/// </summary>
internal sealed class ReceiverProgress
{
    private readonly Queue<BlockContents> inFlight = new();
    private bool endIsSent;
    private uint blocksWritten;
    private long recordsOfBlocks;
    private int recordsBehind;

    /// <summary>Blocks with numbers below this may be sent, modulo 2^32.</summary>
    public uint Credit { get; private set; }

    /// <summary>Number of the next block.</summary>
    public uint NextBlock { get; private set; }

    /// <summary>Records sent: more cannot have been written.</summary>
    public long RecordsSent { get; private set; }

    /// <summary>Records that the receiver has written completely.</summary>
    public long RecordsWritten => recordsOfBlocks + recordsBehind;

    /// <summary>Clock ticks of the blocks written completely.</summary>
    public long TicksWritten { get; private set; }

    /// <summary>Clock ticks that the blocks sent and not written completely can take, waits for triggers at their longest.</summary>
    public long LongestTicksInFlight { get; private set; }

    /// <summary>The record behind those written was cut short.</summary>
    public bool IsCut { get; private set; }

    /// <summary>Everything is written, the end included.</summary>
    public bool IsDone { get; private set; }

    /// <summary>What the receiver said that cannot be true, or null.</summary>
    public string? Doubt { get; private set; }

    /// <summary>True if nothing can have been written beyond what is known to be.</summary>
    /// <param name="last">The receiver's last message.</param>
    public bool IsExact(in LinkMessage last) => Doubt is null && (last.IsAtRest || RecordsSent == RecordsWritten);

    /// <summary>A block is about to be sent. True if nothing else was on its way.</summary>
    public bool Sending(in BlockContents block, bool isEnd)
    {
        inFlight.Enqueue(block);
        RecordsSent += block.Records;
        LongestTicksInFlight += block.LongestTicks;
        endIsSent = isEnd;
        NextBlock++;
        return inFlight.Count == 1;
    }

    /// <summary>Takes over the receiver's word, unless there is doubt. True if it has written more than before.</summary>
    public bool Take(in LinkMessage message)
    {
        Doubt ??= Contradiction(message);
        if (Doubt is not null)
        {
            return false;
        }

        IsCut = message.WasCut;
        IsDone = message.Kind == 'D';
        Credit = message.Kind == 'C' ? message.Credit : Credit;
        bool hasGrown = message.RecordsWritten > recordsBehind;
        for (; blocksWritten != message.BlocksWritten; blocksWritten++)
        {
            BlockContents block = inFlight.Dequeue();
            recordsOfBlocks += block.Records;
            LongestTicksInFlight -= block.LongestTicks;
            TicksWritten += block.Ticks;
            hasGrown = true;
        }

        recordsBehind = message.RecordsWritten;
        if (IsCut && RecordsWritten == RecordsSent)
        {
            Doubt = "the receiver says that it cut a record short that it was not sent";
        }

        return hasGrown;
    }

    private string? Contradiction(in LinkMessage message)
    {
        // Without its memory a receiver states no progress, so its word is not looked at any further.
        if (message.Kind == 'I')
        {
            return "the receiver has started anew and knows nothing of the exposure";
        }

        int more = (int)(message.BlocksWritten - blocksWritten);
        if (more < 0 || (more == 0 && message.RecordsWritten < recordsBehind))
        {
            return "the receiver takes back what it said was written";
        }

        if (more > inFlight.Count || message.RecordsWritten > (more == inFlight.Count ? 0 : inFlight.ElementAt(more).Records))
        {
            return "the receiver says that it has written more than it was sent";
        }

        return message.Kind switch
        {
            'C' when message.WasCut => "the receiver goes on behind a record that it cut short",
            'C' when (int)(message.Credit - Credit) < 0 => "the receiver takes back credit",

            // The end block may be counted among those written or not.
            'D' when !endIsSent || message.WasCut || more < inFlight.Count - 1 || message.RecordsWritten > 0 =>
                "the receiver says that it is done before the end",
            _ => null,
        };
    }
}

/// <summary>What a block of the stream holds.</summary>
/// <param name="Records">Number of records.</param>
/// <param name="Ticks">Clock ticks that they are known to take.</param>
/// <param name="LongestTicks">Clock ticks that they can take: those, and the longest waits for triggers.</param>
internal readonly record struct BlockContents(int Records, long Ticks, long LongestTicks);
