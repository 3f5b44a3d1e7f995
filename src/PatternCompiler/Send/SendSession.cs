using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Send;

/// <summary>
/// One stream on a link, from the header to the receiver's last message. Ends early with a <see cref="SendInterruption"/>.
/// </summary>
/// <remarks>
/// Messages carry no mark of the stream that they are about; their order tells. A receiver that is known to be at rest says
/// nothing about the new stream before it has its header, so the first credit after a header is the new stream's, and
/// whatever comes behind it as well. Therefore no second header leaves before the receiver is known to be at rest again.
/// </remarks>
internal sealed class SendSession(
    Stream target,
    IReceiverMessages messages,
    LinkMessage atRest,
    TimeSpan timeout,
    TimeProvider time,
    Action<SendSession> progressed,
    CancellationToken cancellation)
{
    /// <summary>
    /// A message that comes sooner after the first stop may be older than it, and is not taken for its answer. Specified as
    /// half a second.
    /// </summary>
    public static readonly TimeSpan OldMessages = TimeSpan.FromSeconds(0.5);

    /// <summary>How long a stop that the user wants may take to be confirmed.</summary>
    public static readonly TimeSpan TimeoutForStop = TimeSpan.FromSeconds(4);

    private const int StopBytes = 1024;
    private const int MostHeaders = 3;
    private const double WritingTimeMargin = 1.25;
    private const double LongestWaitSeconds = 1e9;

    private RecordsHeader? header;
    private ExposureStreamOptions? options;
    private bool isAccepted;
    private long lastProgress;

    /// <summary>How far the receiver is.</summary>
    public ReceiverProgress Progress { get; } = new();

    /// <summary>The receiver's last message; first the one with which it was found at rest.</summary>
    public LinkMessage Last { get; private set; } = atRest;

    /// <summary>Finds a receiver at rest of which nothing is known: stops it, whatever it does.</summary>
    /// <returns>False if no word came.</returns>
    public bool FindAtRest() => Stop(OldMessages);

    /// <summary>Stops the receiver and waits for its word that the beam is off.</summary>
    /// <returns>False if no word came.</returns>
    public bool Stop() => Stop(TimeSpan.Zero);

    /// <summary>Sends the header, to a receiver at rest, until it is accepted.</summary>
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
            LinkMessage before = Last;
            Put(bytes);
            long start = time.GetTimestamp();
            bool isDamaged = false;
            while (!isDamaged && Left(start, timeout) is { Ticks: > 0 } left && TryTake(out LinkMessage message, left))
            {
                Last = message;
                if (message.Kind == 'C')
                {
                    isAccepted = true;
                    Handle(message);
                    lastProgress = time.GetTimestamp();
                    return;
                }

                // A receiver at rest repeats what it said last; anything else is its answer.
                refused = message.Kind == 'F' ? message.Fault : 0;
                if (message != before && refused is not (0 or (int)ReceiverFault.Header))
                {
                    throw new SendInterruption(SendInterruption.Cause.Fault, ReceiverFaults.Describe(refused));
                }

                isDamaged = message != before && refused != 0;
            }

            if (!isDamaged && !Stop())
            {
                break;
            }
        }

        throw refused == 0
            ? new SendInterruption(SendInterruption.Cause.Silence, "the receiver does not accept the stream's header")
            : new SendInterruption(SendInterruption.Cause.Fault, ReceiverFaults.Describe(refused));
    }

    /// <summary>Sends a block as soon as the receiver allows it.</summary>
    public void SendBlock(ReadOnlySpan<byte> block)
    {
        while ((int)(Progress.Credit - Progress.NextBlock) <= 0)
        {
            WaitForMessage();
        }

        if (Progress.Sending(Contents(block), block[0] == StreamFormat.EndBlock))
        {
            lastProgress = time.GetTimestamp();
        }

        Put(block);
        Listen();
    }

    /// <summary>Takes the messages that have come.</summary>
    public void Listen()
    {
        while (TryTake(out LinkMessage message, TimeSpan.Zero))
        {
            Handle(message);
        }
    }

    /// <summary>Waits until the receiver has written everything.</summary>
    public void Finish()
    {
        while (!Progress.IsDone)
        {
            WaitForMessage();
        }
    }

    // Stays within its time even if the user wants to stop meanwhile, and is then in more of a hurry.
    private bool Stop(TimeSpan ignored)
    {
        try
        {
            Put(new byte[StopBytes]);
        }
        catch (SendInterruption)
        {
            return false;
        }

        long start = time.GetTimestamp();
        bool isHurried = cancellation.IsCancellationRequested;
        TimeSpan allowed = isHurried ? TimeoutForStop : ignored + timeout;
        while (Left(start, allowed) is { Ticks: > 0 } left)
        {
            try
            {
                if (!messages.TryTake(out LinkMessage message, left, isHurried ? CancellationToken.None : cancellation))
                {
                    return false;
                }

                Last = message;
                Note(message);
                if (message.IsAtRest && time.GetElapsedTime(start) >= ignored)
                {
                    return true;
                }
            }
            catch (OperationCanceledException)
            {
                isHurried = true;
                allowed = time.GetElapsedTime(start) + TimeoutForStop;
            }
        }

        return false;
    }

    private void WaitForMessage()
    {
        TimeSpan left = Left(lastProgress, TimeoutWhileWriting());
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
            if (messages.TryTake(out message, wait, cancellation))
            {
                return true;
            }
        }
        catch (OperationCanceledException)
        {
            throw new SendInterruption(SendInterruption.Cause.StopRequested, "stop requested");
        }

        return messages.IsGone ? throw new SendInterruption(SendInterruption.Cause.Gone, "the link is gone") : false;
    }

    private void Handle(in LinkMessage message)
    {
        Last = message;
        Note(message);
        if (Progress.Doubt is not null)
        {
            throw new SendInterruption(SendInterruption.Cause.Doubt, Progress.Doubt);
        }

        switch (message.Kind)
        {
            case 'F':
                throw new SendInterruption(SendInterruption.Cause.Fault, ReceiverFaults.Describe(message.Fault));
            case 'S':
                throw new SendInterruption(SendInterruption.Cause.StoppedThere, "the receiver was stopped");
            default:
                break;
        }
    }

    // Takes over the receiver's word on how far it is with this stream.
    private void Note(in LinkMessage message)
    {
        if (isAccepted && Progress.Take(message))
        {
            lastProgress = time.GetTimestamp();
            progressed(this);
        }
    }

    private BlockContents Contents(ReadOnlySpan<byte> block)
    {
        if (block[0] != StreamFormat.RecordsBlock)
        {
            return default;
        }

        var records = new BlockRecords(block[StreamFormat.BlockHeader..^StreamFormat.CrcBytes], options!, header!.Dac);
        RecordTotals totals = default;
        long longest = 0;
        while (!records.IsAtEnd)
        {
            if (records.TryRead(out DeflectionRecord record) is string fault)
            {
                throw new CompileException(BackEndCodes.BadRecord, fault, fix: "emit the stream again");
            }

            totals = totals.Plus([record]);
            longest += record.Kind == RecordKind.Marker ? 0 : record.Ticks;
        }

        return new((int)totals.Records, totals.Ticks, longest);
    }

    // What is still to be written may hold up the receiver that long.
    private TimeSpan TimeoutWhileWriting() => header is null
        ? timeout
        : timeout + TimeSpan.FromSeconds(Math.Min(Progress.LongestTicksInFlight / header.ClockHertz * WritingTimeMargin, LongestWaitSeconds));

    // A write to a dead link may never return, so it gets a time limit and a thread of its own: in a crowded pool it might
    // not even begin in time. A stop that overtakes half a block would only confuse, so the user's wish to stop does not
    // cancel it but shortens its time.
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
            if (!IsFinished(write))
            {
                throw new SendInterruption(SendInterruption.Cause.Gone, "the link takes no more bytes");
            }
        }
        catch (AggregateException)
        {
            throw new SendInterruption(SendInterruption.Cause.Gone, "the link is gone");
        }
    }

    private bool IsFinished(Task write)
    {
        try
        {
            return write.Wait((int)Math.Min(TimeoutWhileWriting().TotalMilliseconds, int.MaxValue), cancellation);
        }
        catch (OperationCanceledException)
        {
            return write.Wait(TimeoutForStop);
        }
    }

    private TimeSpan Left(long start, TimeSpan allowed) => allowed - time.GetElapsedTime(start);
}
