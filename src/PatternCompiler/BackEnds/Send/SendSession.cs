using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Send;

/// <summary>
/// One stream on a link, from the stop that finds the receiver at rest to its last message. Ends early with a
/// <see cref="SendInterruption"/>.
/// </summary>
internal sealed class SendSession(
    Stream target, LinkListener listener, TimeSpan patience, TimeProvider time, Action<SendSession> progressed, CancellationToken cancellation)
{
    private const int StopBytes = 1024;
    private const int MostHeaders = 3;
    private const double WritingTimeMargin = 1.25;
    private const double LongestWaitSeconds = 1e9;

    private readonly Queue<(int Records, long Ticks)> inFlight = new();
    private RecordsHeader? header;
    private ExposureStreamOptions? options;
    private uint nextBlock;
    private uint credit;
    private uint blocksWritten;
    private long recordsOfBlocks;
    private int recordsBehind;
    private long ticksInFlight;
    private long lastProgress;
    private LinkMessage last;

    /// <summary>Records that the receiver has written completely.</summary>
    public long RecordsWritten => recordsOfBlocks + recordsBehind;

    /// <summary>Clock ticks of the blocks written completely.</summary>
    public long TicksWritten { get; private set; }

    /// <summary>The receiver has cut a record short.</summary>
    public bool WasCut { get; private set; }

    /// <summary>The receiver has confirmed the end of the stream.</summary>
    public bool IsDone => last.Kind == 'D';

    /// <summary>Stops the receiver, whatever it does, and waits for its word that the beam is off.</summary>
    /// <returns>False if no word came.</returns>
    public bool Stop(CancellationToken cancellationOfStop)
    {
        try
        {
            Put(new byte[StopBytes]);
            long start = time.GetTimestamp();
            while (Left(start, patience) is { Ticks: > 0 } left)
            {
                if (!listener.TryTake(out LinkMessage message, left, cancellationOfStop))
                {
                    return false;
                }

                Note(message);
                if (message.IsAtRest)
                {
                    return true;
                }
            }
        }
        catch (Exception fault) when (fault is SendInterruption or OperationCanceledException)
        {
            // No word came.
        }

        return false;
    }

    /// <summary>Sends the header until the receiver accepts it.</summary>
    public void SendHeader(ReadOnlySpan<byte> bytes)
    {
        if (StreamHeader.TryDecode(bytes, out RecordsHeader decoded, out ExposureStreamOptions found) is string fault)
        {
            throw new CompileException(BackEndCodes.BadHeader, fault, fix: "emit the stream again");
        }

        (header, options) = (decoded, found);
        int refused = 0;
        for (int i = 0; i < MostHeaders; i++)
        {
            Put(bytes);
            long start = time.GetTimestamp();
            while (Left(start, patience) is { Ticks: > 0 } left && TryTake(out LinkMessage message, left))
            {
                // Messages about an earlier stream may still come; only credit belongs to this one.
                if (message.Kind == 'C')
                {
                    last = message;
                    credit = message.Credit;
                    lastProgress = time.GetTimestamp();
                    return;
                }

                refused = message.Kind == 'F' ? message.Fault : refused;
                if (refused == (int)ReceiverFault.OtherMachine)
                {
                    throw new SendInterruption(SendInterruption.Cause.Fault, ReceiverFaults.Describe(refused), refused);
                }
            }

            if (!Stop(cancellation))
            {
                break;
            }
        }

        throw new SendInterruption(SendInterruption.Cause.Silence, "the receiver does not accept the stream's header", refused);
    }

    /// <summary>Sends a block as soon as the receiver allows it.</summary>
    public void SendBlock(ReadOnlySpan<byte> block)
    {
        while ((int)(credit - nextBlock) <= 0)
        {
            WaitForMessage();
        }

        (int records, long ticks) = Contents(block);
        inFlight.Enqueue((records, ticks));
        ticksInFlight += ticks;
        nextBlock++;
        if (inFlight.Count == 1)
        {
            lastProgress = time.GetTimestamp();
        }

        Put(block);
        while (TryTake(out LinkMessage message, TimeSpan.Zero))
        {
            Handle(message);
        }
    }

    /// <summary>Waits until the receiver has written everything.</summary>
    public void Finish()
    {
        while (!IsDone)
        {
            WaitForMessage();
        }
    }

    private void WaitForMessage()
    {
        TimeSpan left = Left(lastProgress, PatienceWhileWriting());
        if (left <= TimeSpan.Zero)
        {
            throw new SendInterruption(SendInterruption.Cause.Silence, "the receiver makes no progress");
        }

        if (TryTake(out LinkMessage message, left))
        {
            Handle(message);
        }
    }

    private bool TryTake(out LinkMessage message, TimeSpan wait)
    {
        try
        {
            if (listener.TryTake(out message, wait, cancellation))
            {
                return true;
            }
        }
        catch (OperationCanceledException)
        {
            throw new SendInterruption(SendInterruption.Cause.StopRequested, "stop requested");
        }

        return listener.IsGone ? throw new SendInterruption(SendInterruption.Cause.Gone, "the link is gone") : false;
    }

    private void Handle(LinkMessage message)
    {
        Note(message);
        switch (message.Kind)
        {
            case 'C':
                credit = message.Credit;
                break;
            case 'F':
                throw new SendInterruption(SendInterruption.Cause.Fault, ReceiverFaults.Describe(message.Fault), message.Fault);
            case 'S':
                throw new SendInterruption(SendInterruption.Cause.StoppedThere, "the receiver was stopped");
            default:
                break;
        }
    }

    // Takes over the receiver's word on how far it is.
    private void Note(LinkMessage message)
    {
        last = message;
        if (header is null || message.Kind == 'I')
        {
            return;
        }

        WasCut |= message.WasCut;
        bool hasGrown = false;
        while ((int)(message.BlocksWritten - blocksWritten) > 0 && inFlight.TryDequeue(out (int Records, long Ticks) done))
        {
            blocksWritten++;
            recordsOfBlocks += done.Records;
            ticksInFlight -= done.Ticks;
            TicksWritten += done.Ticks;
            recordsBehind = 0;
            hasGrown = true;
        }

        if (message.BlocksWritten == blocksWritten && message.RecordsWritten > recordsBehind)
        {
            recordsBehind = message.RecordsWritten;
            hasGrown = true;
        }

        if (hasGrown)
        {
            lastProgress = time.GetTimestamp();
            progressed(this);
        }
    }

    private (int Records, long Ticks) Contents(ReadOnlySpan<byte> block)
    {
        if (block[0] != StreamFormat.RecordsBlock)
        {
            return (0, 0);
        }

        var records = new BlockRecords(block[StreamFormat.BlockHeader..^StreamFormat.CrcBytes], options!, header!.Dac);
        RecordTotals totals = default;
        while (!records.IsAtEnd)
        {
            if (records.TryRead(out DeflectionRecord record) is string fault)
            {
                throw new CompileException(BackEndCodes.BadRecord, fault, fix: "emit the stream again");
            }

            totals = totals.Plus([record]);
        }

        return ((int)totals.Records, totals.Ticks);
    }

    // What is still to be written may hold up the receiver that long.
    private TimeSpan PatienceWhileWriting() => header is null
        ? patience
        : patience + TimeSpan.FromSeconds(Math.Min(ticksInFlight / header.ClockHertz * WritingTimeMargin, LongestWaitSeconds));

    // A write to a dead link may never return, so it gets a time limit and a thread of its own: in a crowded pool it might
    // not even begin in time. It is not cancelled: a stop that overtakes half a block would only confuse.
    private void Put(ReadOnlySpan<byte> bytes)
    {
        byte[] copy = bytes.ToArray();
        var write = Task.Factory.StartNew(
            () =>
            {
                target.Write(copy);
                target.Flush();
            },
            CancellationToken.None,
            TaskCreationOptions.LongRunning,
            TaskScheduler.Default);
        try
        {
            if (!write.Wait((int)Math.Min(PatienceWhileWriting().TotalMilliseconds, int.MaxValue), CancellationToken.None))
            {
                throw new SendInterruption(SendInterruption.Cause.Gone, "the link takes no more bytes");
            }
        }
        catch (AggregateException fault) when (fault.InnerException is IOException or ObjectDisposedException or InvalidOperationException or UnauthorizedAccessException)
        {
            throw new SendInterruption(SendInterruption.Cause.Gone, "the link is gone");
        }
    }

    private TimeSpan Left(long start, TimeSpan allowed) => allowed - time.GetElapsedTime(start);
}
