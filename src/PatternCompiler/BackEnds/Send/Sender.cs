using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Send;

/// <summary>
/// Sends an exposure stream over a link to a receiver, with its credit, and goes on behind faults of the link where the
/// receiver's word makes sure that nothing is written twice.
/// </summary>
public sealed class Sender
{
    private static readonly TimeSpan PatienceForStop = TimeSpan.FromSeconds(5);

    private readonly Stream source;
    private readonly string name;
    private readonly Stream toReceiver;
    private readonly LinkListener listener;
    private readonly SendOptions options;
    private readonly TimeProvider time;
    private readonly Action<SendProgress> observer;
    private readonly CancellationToken cancellation;
    private RecordTotals totals;
    private double clockHertz;
    private ExposureStreamOptions? layout;
    private RemainderSink? remainder;
    private long skippedTicks;
    private long ticksBefore;
    private long ticksDone;
    private long firstRecord;

    private Sender(
        Stream source,
        string name,
        Stream toReceiver,
        LinkListener listener,
        SendOptions options,
        TimeProvider time,
        Action<SendProgress> observer,
        CancellationToken cancellation)
    {
        this.source = source;
        this.name = name;
        this.toReceiver = toReceiver;
        this.listener = listener;
        this.options = options;
        this.time = time;
        this.observer = observer;
        this.cancellation = cancellation;
        firstRecord = options.FirstRecord;
    }

    /// <summary>Sends a stream.</summary>
    /// <param name="source">The stream. Where it can be read again it is checked as a whole first, and can be resumed.</param>
    /// <param name="name">Its name for messages.</param>
    /// <param name="toReceiver">Bytes to the receiver.</param>
    /// <param name="fromReceiver">Bytes from the receiver.</param>
    /// <param name="options">Patience and restarts.</param>
    /// <param name="time">Where time comes from.</param>
    /// <param name="observer">Told of progress and events.</param>
    /// <param name="cancellation">Stops the receiver and ends.</param>
    /// <exception cref="CompileException">The stream is damaged, or the receiver did not write all of it.</exception>
    public static SendReport Run(
        Stream source,
        string name,
        Stream toReceiver,
        Stream fromReceiver,
        SendOptions options,
        TimeProvider time,
        Action<SendProgress> observer,
        CancellationToken cancellation)
    {
        using var listener = new LinkListener(fromReceiver);
        return new Sender(source, name, toReceiver, listener, options, time, observer, cancellation).Run();
    }

    private SendReport Run()
    {
        if (source.CanSeek)
        {
            CheckSource();
        }
        else if (options.FirstRecord > 0)
        {
            throw new CompileException(
                BackEndCodes.CannotResume, "a stream from a pipe cannot be sent from its middle", new SourcePlace(name), "send it from a file");
        }

        for (int restarts = 0; ; restarts++)
        {
            var session = new SendSession(toReceiver, listener, options.Patience, time, Report, cancellation);
            try
            {
                if (!session.Stop(cancellation))
                {
                    cancellation.ThrowIfCancellationRequested();
                    throw LinkLost("no receiver answers", firstRecord);
                }

                Send(session);
                return new SendReport(RecordsWritten(session), restarts, false);
            }
            catch (SendInterruption interruption)
            {
                if (interruption.Reason == SendInterruption.Cause.StopRequested)
                {
                    return Stopped(session, restarts);
                }

                if (IsDoneAfterAll(session, interruption))
                {
                    return new SendReport(RecordsWritten(session), restarts, false);
                }

                Settle(session, interruption, restarts);
            }
        }
    }

    private void Send(SendSession session)
    {
        remainder = null;
        using var feed = new BlockFeed(session);
        if (firstRecord == 0)
        {
            source.CopyTo(feed);
            if (!feed.IsAtBoundary)
            {
                session.Stop(CancellationToken.None);
                throw new CompileException(
                    BackEndCodes.Truncated, "the stream stops before its end", new SourcePlace(name), "emit it again");
            }
        }
        else
        {
            remainder = new RemainderSink(new ExposureStreamWriter(feed, layout!), firstRecord);
            ExposureStreamReader.Read(source, name, remainder, new DiagnosticSink(), CancellationToken.None);
        }

        session.Finish();
    }

    // Where the receiver only fell silent a stop brings its last word, which may be that everything is written.
    private bool IsDoneAfterAll(SendSession session, SendInterruption interruption)
    {
        bool isConfirmed = interruption.Reason is SendInterruption.Cause.Fault or SendInterruption.Cause.StoppedThere ||
            (interruption.Reason == SendInterruption.Cause.Silence && session.Stop(CancellationToken.None));
        return isConfirmed ? session.IsDone : throw LinkLost(interruption.Message, RecordsWritten(session));
    }

    // Decides what follows from an interruption: return to go on, or throw.
    private void Settle(SendSession session, SendInterruption interruption, int restarts)
    {
        long written = RecordsWritten(session);
        if (session.WasCut)
        {
            throw new CompileException(
                BackEndCodes.RecordCutShort,
                $"{interruption.Message}; record {written + 1} was cut short and has a part of its dose",
                new SourcePlace(name),
                $"look at the sample, then send from record {written + 1} to repeat it, or from record {written + 2} to skip it");
        }

        bool mayGoOn = interruption.Reason == SendInterruption.Cause.Silence || ReceiverFaults.IsOfLink(interruption.FaultNumber);
        if (interruption.Reason == SendInterruption.Cause.StoppedThere || !mayGoOn || restarts >= options.MostRestarts || !source.CanSeek)
        {
            throw new CompileException(
                BackEndCodes.ReceiverFault,
                $"{interruption.Message}; {written} records are written, the beam is off",
                new SourcePlace(name),
                interruption.FaultNumber == (int)ReceiverFault.OtherMachine
                    ? "emit the stream with the machine file of this receiver"
                    : $"mend the cause, then send from record {written + 1}");
        }

        ticksBefore = ticksDone = ticksBefore + session.TicksWritten;
        firstRecord = written;
        source.Position = 0;
        observer(new SendProgress(written, totals.Records, SecondsOf(ticksBefore), SecondsLeft(), $"{interruption.Message}; going on behind {written} records"));
    }

    private SendReport Stopped(SendSession session, int restarts)
    {
        using var limit = new CancellationTokenSource(PatienceForStop, time);
        if (!session.Stop(limit.Token))
        {
            throw LinkLost("the receiver does not confirm the stop", RecordsWritten(session));
        }

        return new SendReport(RecordsWritten(session), restarts, true);
    }

    private long RecordsWritten(SendSession session) =>
        firstRecord + Math.Max(0, session.RecordsWritten - (remainder is { HasJump: true } ? 1 : 0));

    private CompileException LinkLost(string what, long written) => new(
        BackEndCodes.LinkLost,
        $"{what}; at least {written} records are written, and nothing is known of those behind",
        new SourcePlace(name),
        "make sure that the beam is off, then check the cable and the receiver");

    private void Report(SendSession session)
    {
        ticksDone = ticksBefore + session.TicksWritten;
        observer(new SendProgress(RecordsWritten(session), totals.Records, SecondsOf(ticksDone), SecondsLeft(), null));
    }

    private double SecondsOf(long ticks) => clockHertz > 0 ? ticks / clockHertz : 0;

    private double? SecondsLeft() => source.CanSeek ? Math.Max(0, SecondsOf(totals.Ticks - skippedTicks - ticksDone)) : null;

    private void CheckSource()
    {
        var count = new StreamCount(options.FirstRecord);
        source.Position = 0;
        layout = ExposureStreamReader.Read(source, name, count, new DiagnosticSink(), cancellation);
        (totals, clockHertz, skippedTicks) = (count.Totals, count.ClockHertz, count.SkippedTicks);
        if (options.FirstRecord > totals.Records)
        {
            throw new CompileException(
                BackEndCodes.CannotResume,
                $"the stream has {totals.Records} records, so it cannot be sent from record {options.FirstRecord + 1}",
                new SourcePlace(name));
        }

        source.Position = 0;
    }
}
