using System.CommandLine;
using System.Globalization;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Checks;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Links;
using PatternCompiler.Cli.Manual;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Files;
using PatternCompiler.Jobs;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Send;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc send</c>: an exposure stream to a receiver.</summary>
internal static class SendCommand
{
    private static readonly TimeSpan GraceForStop = TimeSpan.FromSeconds(10);

    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Exposure stream.");
        var link = new LinkOptions();
        Option<long?> from = NumberOption.CreateWhole("--from", "First record to send, counted from 1, to go on after a stop.", 1, long.MaxValue);
        var dryRun = new Option<bool>("--dry-run") { Description = "Check the stream, say what would be sent, and send nothing." };
        Option<string> log = FileOption.CreateWritten("--log", _ => new OutputChoice([FileContent.Text]), "Add what happens to the log of runs in FILE, a line of JSON for each event.");
        Option<string?> provenance = FileOption.CreateRead("--provenance", "What the stream was made from, as 'build --provenance' wrote it: it goes into the log, and 'repeat' can build the same bytes.");
        Option<KeyValuePair<string, string>[]> notes = NoteOption.Create("--note", "What the log is to tell of the sample, such as lot=7 or \"bake=180 C, 90 s\"; may be given several times.");
        var command = new PatternCommand("send", "Send an exposure stream to a receiver.")
        {
            Details = "The receiver grants credit block by block and confirms what it has written. A block damaged on the way is noticed before any of it is written, and sending goes on behind the last record that the receiver has written completely: nothing is written twice. After Ctrl-C the receiver is stopped, and its word that the beam is off is waited for. Whatever ends a run early, the last message tells which records are written, which one was cut short, of which nothing is known, and how to go on. A record that was cut short is never sent again without --from, since part of its dose is already in the resist; nor is anything after a receiver that was reset or contradicts itself. With a log, the parts of a run that is resumed join, and records that are in the resist by the log are not sent again. Any program that copies a file to a serial port works as well, without going on after faults.",
            ExitCodes =
            [
                new(ExitCode.Done, "every record is written, each of them once, by the receiver's word"),
                .. ExitCodeMeaning.Usual.Where(code => code.Code is ExitCode.InputWrong or ExitCode.UsageWrong),
                new(ExitCode.InputOutput, "not everything is written, or it is not known what is: the message tells what is in the resist"),
                .. ExitCodeMeaning.Usual.Where(code => code.Code is ExitCode.Defect),
                new(ExitCode.Interrupted, "stopped by the user; the message tells after which record"),
            ],
            Examples =
            [
                new("patternc send chip.stream --link /dev/ttyACM0 --log runs.log --provenance chip.json --note lot=7", "to a serial port, and into the log"),
                new("patternc send chip.stream --link /dev/ttyACM0 --from 1201", "the rest, after a stop that told this number"),
                new("patternc send chip.stream --link /dev/ttyACM0 --dry-run", "only says what would be sent"),
            ],
            Arguments = { input },
            GraceForStop = GraceForStop,
        };
        link.AddTo(command, isRequired: true);
        foreach (Option option in (Option[])[from, dryRun, log, provenance, notes])
        {
            command.Options.Add(option);
        }

        command.Validators.Add(result =>
        {
            if (result.GetValue(log) is null && (result.GetValue(provenance) is not null || result.GetValue(notes) is { Length: > 0 }))
            {
                result.AddError("options '--provenance' and '--note' are for the log: name it with '--log'");
            }
        });
        return command.Runs((result, context) =>
        {
            string name = result.GetRequiredValue(input);
            using Stream source = InputFile.OpenAgainAndAgain(name);
            if (result.GetValue(dryRun))
            {
                return DryRun(source, name, context);
            }

            (RecordsHeader Header, ExposureTotals Totals, ExposureStreamOptions Layout)? head = source.CanSeek ? Check(source, name, context) : null;
            SendOptions options = link.In(result, result.GetValue(from));
            var kept = new SendLog(TimeProvider.System);
            if (result.GetValue(log) is string path)
            {
                kept.Begin(path, new SentStream(source, name, head?.Header, head?.Totals.Records, result.GetValue(provenance), result.GetValue(notes) ?? []), link.NameIn(result)!, options.FirstRecord + 1, context.Sink);
            }

            try
            {
                using ReceiverLink receiver = link.Open(result);
                return Send(source, name, receiver, options, kept, context);
            }
            catch (CompileException fault)
            {
                kept.End(fault.Diagnostic);
                throw;
            }
        });
    }

    private static int Send(Stream source, string name, ReceiverLink receiver, SendOptions options, SendLog log, CommandContext context)
    {
        using var messages = new LinkListener(receiver.From);
        SendReport report = Transfer(source, name, receiver.To, messages, options, log, context);
        string retries = report.Retries == 0 ? "no retries" : CountText.Of(report.Retries, "retry", "retries");
        string told = report switch
        {
            { WasStopped: false } => string.Create(CultureInfo.InvariantCulture, $"sent: {CountText.Of(report.RecordsWritten, "record", "records")} written in {log.Seconds:0.0} s, {retries}"),
            { RecordsWritten: 0 } => "stopped before anything was written, the receiver confirms that the beam is off; send it again",
            _ => string.Create(CultureInfo.InvariantCulture, $"stopped after record {report.RecordsWritten}, the receiver confirms that the beam is off; send the rest with --from {report.RecordsWritten + 1}"),
        };
        context.Messages.Say(told);
        return ExitCode.Done;
    }

    /// <summary>Sends, shows how far it is, and keeps it in the log.</summary>
    internal static SendReport Transfer(Stream source, string name, Stream to, LinkListener messages, SendOptions options, SendLog log, CommandContext context)
    {
        ProgressItem? bar = null;
        SendReport report = Sender.RunOn(source, name, to, messages, options, TimeProvider.System, Observe, context.Cancellation);
        log.End(report);
        return report;

        void Observe(SendProgress progress)
        {
            bar ??= context.Progress.Add("sending", progress.TotalRecords);
            bar.Advance(progress.RecordsWritten - bar.Done);
            log.Take(progress);
            if (progress.Event is not null)
            {
                context.Messages.Say(progress.Event);
            }
        }
    }

    private static int DryRun(Stream source, string name, CommandContext context)
    {
        (RecordsHeader header, ExposureTotals totals, ExposureStreamOptions layout) = Check(source, name, context);
        context.Messages.Say(
            $"valid stream for {header.MachineName}: {header.Dac.Bits} bits, words of {CountText.Of(layout.WordBytes, "byte", "bytes")}, profile {(layout.Profile == StreamProfile.Lines ? "lines" : "points")}{(layout.WaitsForTrigger ? " with triggers" : "")}");
        context.Messages.Say(
            $"{CountText.Of(totals.Records, "record", "records")}, {CountText.Of(totals.Points, "point", "points")}, {QuantityText.Format(totals.Ticks / header.ClockHertz, Dimension.Time)} of writing{(totals.Triggers > 0 ? $" and {CountText.Of(totals.Triggers, "wait", "waits")} for a trigger" : "")}; nothing was sent");
        return ExitCode.Done;
    }

    /// <summary>Reads the whole stream before any of it is sent: whoever made it, the beam is off before the first jump and after the last record.</summary>
    internal static (RecordsHeader Header, ExposureTotals Totals, ExposureStreamOptions Layout) Check(Stream source, string name, CommandContext context)
    {
        var head = new Head();
        (ExposureTotals totals, ExposureStreamOptions layout) = context.Stages(BuildSettings.Read(DefaultFiles.Job)).ReadStream(source, name, head);
        return (head.Header!, totals, layout);
    }

    private sealed class Head : IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        public RecordsHeader? Header { get; private set; }

        public void Begin(RecordsHeader header) => Header = header;

        public void Write(ReadOnlySpan<DeflectionRecord> items)
        {
        }

        public void End()
        {
        }
    }
}
