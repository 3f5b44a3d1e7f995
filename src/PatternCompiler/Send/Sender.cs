using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Send;

/// <summary>
/// Sends an exposure stream over a link to a receiver, with its credit, and goes on behind faults of the link where the
/// receiver's word makes sure that nothing is written twice.
/// </summary>
internal sealed class Sender
{
    private const int PieceBytes = 1 << 16;
    private const int PollMilliseconds = 50;

    private readonly Stream source;
    private readonly string name;
    private readonly Stream toReceiver;
    private readonly IReceiverMessages messages;
    private readonly SendOptions options;
    private readonly TimeProvider time;
    private readonly Action<SendProgress> observer;
    private readonly CancellationToken cancellation;
    private RecordTotals totals;

    // Of a stream from a pipe neither totals nor the clock are known beforehand: no seconds are told of it.
    private double clockHertz = double.PositiveInfinity;
    private ExposureStreamOptions? layout;
    private RemainderSink? remainder;
    private long skippedTicks;
    private long ticksBefore;
    private long ticksDone;
    private long firstRecord;
    private bool isEnding;

    private Sender(
        Stream source,
        string name,
        Stream toReceiver,
        IReceiverMessages messages,
        SendOptions options,
        TimeProvider time,
        Action<SendProgress> observer,
        CancellationToken cancellation)
    {
        this.source = source;
        this.name = name;
        this.toReceiver = toReceiver;
        this.messages = messages;
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
    /// <param name="options">Timeout and retries.</param>
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
        return RunOn(source, name, toReceiver, listener, options, time, observer, cancellation);
    }

    /// <summary>As the other, with messages from anywhere.</summary>
    internal static SendReport RunOn(
        Stream source,
        string name,
        Stream toReceiver,
        IReceiverMessages messages,
        SendOptions options,
        TimeProvider time,
        Action<SendProgress> observer,
        CancellationToken cancellation) =>
        new Sender(source, name, toReceiver, messages, options, time, observer, cancellation).Run();

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

        SendSession session = NewSession(default);
        if (!session.FindAtRest())
        {
            cancellation.ThrowIfCancellationRequested();
            throw Ended(BackEndCodes.LinkLost, "no receiver answers", false, session);
        }

        for (int retries = 0; ; retries++)
        {
            try
            {
                session = NewSession(session.Last);
                Send(session);
                return new SendReport(RecordsWritten(session), retries, false);
            }
            catch (SendInterruption interruption)
            {
                if (Conclude(session, interruption, retries) is SendReport report)
                {
                    return report;
                }
            }
            catch (Exception fault) when (fault is CompileException or IOException)
            {
                throw SourceFailed(session, fault);
            }
        }
    }

    private SendSession NewSession(LinkMessage atRest) => new(toReceiver, messages, atRest, options.Timeout, time, Report, cancellation);

    private void Send(SendSession session)
    {
        remainder = null;
        using var feed = new BlockFeed(session);
        if (firstRecord > 0)
        {
            remainder = new RemainderSink(new ExposureStreamWriter(feed, layout!), firstRecord);
            ExposureStreamReader.Read(source, name, remainder, new DiagnosticSink(), CancellationToken.None);
        }
        else
        {
            byte[] piece = new byte[PieceBytes];
            for (int count = ReadSource(session, piece); count > 0; count = ReadSource(session, piece))
            {
                feed.Write(piece.AsSpan(0, count));
            }
        }

        if (!feed.HasEnded)
        {
            throw new CompileException(BackEndCodes.Truncated, "the stream stops before its end", new SourcePlace(name), "emit it again");
        }

        session.Finish();
    }

    // A pipe may let wait for its bytes; the receiver and the user are heard meanwhile.
    private int ReadSource(SendSession session, byte[] piece)
    {
        if (source.CanSeek)
        {
            return source.Read(piece);
        }

        var read = Task.Factory.StartNew(
            () => source.Read(piece), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        while (Task.WaitAny([read], PollMilliseconds, CancellationToken.None) < 0)
        {
            session.Listen();
        }

        return read.GetAwaiter().GetResult();
    }

    // Decides what follows from an interruption: a report, an error, or null to go on behind what is written.
    private SendReport? Conclude(SendSession session, SendInterruption interruption, int retries)
    {
        bool isAtRest = interruption.Reason switch
        {
            SendInterruption.Cause.Fault or SendInterruption.Cause.StoppedThere => true,
            SendInterruption.Cause.Gone => false,
            _ => session.Stop(),
        };
        string what = session.Progress.Doubt ?? interruption.Message;
        bool isWanted = cancellation.IsCancellationRequested;
        if (session.Progress.Doubt is not null)
        {
            throw Ended(BackEndCodes.ReceiverInDoubt, what, isAtRest, session);
        }

        if (!isAtRest)
        {
            throw Ended(BackEndCodes.LinkLost, isWanted ? "the receiver does not confirm the stop" : what, false, session);
        }

        if (session.Progress.IsDone)
        {
            return new SendReport(RecordsWritten(session), retries, false);
        }

        if (CutRecord(session) is not null)
        {
            throw Ended(BackEndCodes.RecordCutShort, what, true, session);
        }

        int fault = session.Last.Kind == 'F' ? session.Last.Fault : 0;
        bool isOfLink = (fault == 0 || ReceiverFaults.IsOfLink(fault)) && interruption.Reason != SendInterruption.Cause.StoppedThere;
        if (isWanted && isOfLink)
        {
            return new SendReport(RecordsWritten(session), retries, true);
        }

        if (!isOfLink || retries >= options.MostRetries || !source.CanSeek)
        {
            throw Ended(BackEndCodes.ReceiverFault, fault == 0 ? what : ReceiverFaults.Describe(fault), true, session);
        }

        ticksBefore = ticksDone = ticksBefore + session.Progress.TicksWritten;
        firstRecord = RecordsWritten(session);
        source.Position = 0;
        observer(new SendProgress(firstRecord, totals.Records, SecondsOf(ticksBefore), SecondsLeft(), $"{what}; going on after {firstRecord} records"));
        return null;
    }

    private CompileException SourceFailed(SendSession session, Exception fault)
    {
        // The fault may be that nobody can be told of progress.
        isEnding = true;
        bool isAtRest = session.Stop();
        Diagnostic told = (fault as CompileException)?.Diagnostic ??
            new Diagnostic(BackEndCodes.Truncated, Severity.Error, "the stream cannot be read on", new SourcePlace(name));
        ResistState state = StateOf(session);
        return new CompileException(
            told with
            {
                Message = $"{told.Message}; {state.Contents}; {Beam(isAtRest)}",
                Place = told.Place == default ? new SourcePlace(name) : told.Place,
                Fix = told.Fix is null ? state.Remedy : $"{told.Fix}; {state.Remedy}",
            },
            fault);
    }

    private CompileException Ended(DiagnosticCode code, string what, bool isAtRest, SendSession session)
    {
        ResistState state = StateOf(session);
        string remedy = (ReceiverFault)(session.Last.Kind == 'F' ? session.Last.Fault : 0) switch
        {
            ReceiverFault.OtherMachine => "emit the stream with the machine file of this receiver",
            ReceiverFault.Trigger => "check the cable of the trigger input and the frequency that the machine file states; " + state.Remedy,
            _ => state.Remedy,
        };
        return new CompileException(
            code,
            $"{what}; {state.Contents}; {Beam(isAtRest)}",
            new SourcePlace(name),
            isAtRest ? remedy : "make sure that the beam is off, check the cable and the receiver; " + remedy);
    }

    private static string Beam(bool isAtRest) =>
        isAtRest ? "the receiver confirms that the beam is off" : "the receiver does not confirm that the beam is off";

    private ResistState StateOf(SendSession session)
    {
        ReceiverProgress progress = session.Progress;

        // Where the receiver has counted other totals it has written something else than it was sent.
        bool isAllUncertain = session.Last is { Kind: 'F', Fault: (int)ReceiverFault.Totals };
        long written = isAllUncertain ? options.FirstRecord : RecordsWritten(session);
        long sent = progress.IsExact(session.Last) && !isAllUncertain ? written : OwnRecords(progress.RecordsSent);
        string? cut = CutRecord(session);
        return new ResistState(
            options.FirstRecord,
            written,
            sent,
            cut,
            cut is null && sent == written ? null : PlaceOf(written)?.Figure,
            sent > written ? PlaceOf(sent - 1)?.Figure : null,
            totals.Records);
    }

    // What was cut short and has a part of its dose; a jump or a wait has none.
    private string? CutRecord(SendSession session)
    {
        if (!session.Progress.IsCut || session.Progress.Doubt is not null || remainder?.IsAdded(session.Progress.RecordsWritten) == true)
        {
            return null;
        }

        return PlaceOf(RecordsWritten(session)) is not { } place ? "of a kind not known here" :
            place.Record is not { Points: > 0 } record ? null :
            record.Kind == RecordKind.Dot ? "a dot" : "a line";
    }

    private RecordPlaces? PlaceOf(long record)
    {
        if (!source.CanSeek)
        {
            return null;
        }

        var places = new RecordPlaces(record);
        try
        {
            source.Position = 0;
            ExposureStreamReader.Read(source, name, places, new DiagnosticSink(), CancellationToken.None);
        }
        catch (Exception fault) when (fault is CompileException or IOException)
        {
            // The file has changed meanwhile; the record's number has to do.
            return null;
        }

        return places;
    }

    private long RecordsWritten(SendSession session) => OwnRecords(session.Progress.RecordsWritten);

    private long OwnRecords(long passedOn) => firstRecord + (remainder?.OwnAmong(passedOn) ?? passedOn);

    private void Report(SendSession session)
    {
        if (isEnding)
        {
            return;
        }

        ticksDone = ticksBefore + session.Progress.TicksWritten;
        observer(new SendProgress(RecordsWritten(session), totals.Records, SecondsOf(ticksDone), SecondsLeft(), null));
    }

    private double SecondsOf(long ticks) => ticks / clockHertz;

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

/// <summary>How a stream is sent.</summary>
/// <param name="Timeout">How long a silent receiver is waited for beyond the time that the records take.</param>
/// <param name="MostRetries">How often sending goes on after a fault of the link before it gives up.</param>
/// <param name="FirstRecord">Number of the first record to send, 0 for the whole stream.</param>
internal sealed record SendOptions(TimeSpan Timeout, int MostRetries, long FirstRecord)
{
    /// <summary>Five seconds, three retries, everything.</summary>
    public static SendOptions Default { get; } = new(TimeSpan.FromSeconds(5), 3, 0);
}

/// <summary>How far the receiver is, by its own word.</summary>
/// <param name="RecordsWritten">Records of the stream written completely.</param>
/// <param name="TotalRecords">Records of the stream, 0 if unknown because it comes from a pipe.</param>
/// <param name="SecondsWritten">Writing time of the records written since sending began.</param>
/// <param name="SecondsLeft">Writing time of those not yet written, or null if unknown.</param>
/// <param name="Event">What has just happened, in words for a log, or null for mere progress.</param>
internal sealed record SendProgress(long RecordsWritten, long TotalRecords, double SecondsWritten, double? SecondsLeft, string? Event);

/// <summary>What became of a stream.</summary>
/// <param name="RecordsWritten">Records written completely, by the receiver's word.</param>
/// <param name="Retries">How often sending went on after a fault of the link.</param>
/// <param name="WasStopped">Stopped on request, with the receiver's confirmation that the beam is off.</param>
internal sealed record SendReport(long RecordsWritten, int Retries, bool WasStopped);
