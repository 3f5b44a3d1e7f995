using System.Collections.Immutable;
using System.Globalization;
using System.Security.Cryptography;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Checks;
using PatternCompiler.Cli.Commands;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Links;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Runs;
using PatternCompiler.Runs.Steps;
using PatternCompiler.Send;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Running;

/// <summary>
/// Writes the steps of a run one after the other. Before each, what the job wants is asked; then its stream is made with the current as
/// it is, kept beside the log, and sent. Between steps the beam is off, since every stream ends so.
/// </summary>
internal sealed class RunInSteps
{
    private readonly BuildSettings settings;
    private readonly ImmutableArray<RunStep> steps;
    private readonly RunOperator asked;
    private readonly RunPart part;
    private readonly CommandContext context;
    private readonly BeamReadings readings;
    private readonly string pattern;
    private readonly SendLog log = new(TimeProvider.System);

    public RunInSteps(BuildSettings settings, ImmutableArray<RunStep> steps, RunOperator asked, RunPart part, CommandContext context)
    {
        (this.settings, this.steps, this.asked, this.part, this.context) = (settings, steps, asked, part, context);
        readings = new BeamReadings(settings.Machine.Beam.CurrentAmperes, settings.Job.Run.CurrentWithin);
        pattern = PatternHash.Of(steps);
        part.Require(pattern, steps);
        part.WarnOfOpen(pattern, context.Sink);
    }

    /// <summary>Asks, makes and sends.</summary>
    /// <returns>False if the user has stopped it.</returns>
    /// <exception cref="CompileException">Nobody answers, something is not as it must be, or a stream is not written.</exception>
    public bool Run(ReceiverLink receiver, string link, SendOptions options, IReadOnlyCollection<KeyValuePair<string, string>> notes)
    {
        using var messages = new LinkListener(receiver.From);
        bool isFirst = true;
        for (int i = 0; i < steps.Length; i++)
        {
            if (part.IsWritten(i))
            {
                context.Messages.Say($"{Name(i)}: written before");
                continue;
            }

            log.Enter(part.Log, part.Run, part.Number, new StepOfRun(steps[i].Name, i + 1, steps.Length));
            try
            {
                Ask([.. isFirst ? RunChecklist.Start(settings) : [], .. RunChecklist.Before(steps[i], isFirst, settings)]);
                Beam beam = readings.From(TimeProvider.System.GetUtcNow().UtcDateTime, settings.Machine.Beam);
                using FileStream? stream = Prepared(i, beam, options, out long from);
                if (stream is null)
                {
                    continue;
                }

                SendReport report = Send(i, beam, stream, from, new Receiver(receiver.To, messages, link), options, isFirst ? notes : []);
                if (report.WasStopped)
                {
                    context.Messages.Say(string.Create(
                        CultureInfo.InvariantCulture, $"{Name(i)}: stopped after record {report.RecordsWritten}, the receiver confirms that the beam is off; go on with --resume {part.Run}"));
                    return false;
                }

                context.Messages.Say($"{Name(i)}: {CountText.Of(report.RecordsWritten, "record", "records")} written");
            }
            catch (CompileException fault)
            {
                log.End(fault.Diagnostic);
                throw;
            }

            isFirst = false;
        }

        context.Messages.Say($"written: {CountText.Of(steps.Length, "step", "steps")}, run {part.Run}");
        return true;
    }

    private string Name(int step) => string.Create(CultureInfo.InvariantCulture, $"step {step + 1} of {steps.Length}, {PrintedText.Of(steps[step].Name)}");

    private void Ask(IReadOnlyList<RunQuestion> questions)
    {
        var answers = new List<KeyValuePair<string, string>>();
        foreach (RunQuestion question in questions)
        {
            string answer = asked.Ask(question);
            answers.Add(new(question.Key, answer));
            Judge(question, answer);
        }

        if (answers.Count > 0)
        {
            log.Answered(answers);
        }
    }

    private void Judge(RunQuestion question, string answer)
    {
        if (question.Kind == RunAnswerKind.Yes && answer == "no")
        {
            throw new CompileException(RunCodes.AnsweredNo, $"'{question.Key}' was answered with no: {question.Text}; the beam is off", fix: $"put it right, then go on with --resume {part.Run}");
        }

        if (question.Kind != RunAnswerKind.Current)
        {
            return;
        }

        Quantity.TryParse(answer, [Dimension.Current], out Quantity read, out _);
        if (question.Name == RunChecklist.Current)
        {
            readings.Add(TimeProvider.System.GetUtcNow().UtcDateTime, read.In(Unit.Ampere));
        }
        else if (read.In(Unit.Ampere) > RunChecklist.LargestBlanked(settings.Machine))
        {
            throw new CompileException(
                RunCodes.NotBlanked,
                $"with the beam blanked {answer} reach the sample, and by the machine file at most {QuantityText.Format(RunChecklist.LargestBlanked(settings.Machine), Dimension.Current, 3)} may",
                fix: "look at the polarity ('blanker.active'), the wire and the voltage of the blanker; a leak that is right belongs into 'blanker.leak'");
        }
    }

    /// <summary>The stream of a step: made now, or the one that was begun. Null if all of it is in the resist by the operator's word.</summary>
    private FileStream? Prepared(int step, Beam beam, SendOptions options, out long from)
    {
        string path = part.StreamOf(steps[step].Name);
        from = part.FirstRecordOf(step, options.FirstRecord + 1);
        if (part.Begun(step) is { } begun)
        {
            FileStream kept = FileSystem.OpenRead(path);
            if (Convert.ToHexStringLower(SHA256.HashData(kept)) != begun.Sha256)
            {
                kept.Dispose();
                throw new CompileException(RunCodes.CannotResume, "this is not the stream that was begun", new SourcePlace(path), "bring the file back; without it begin a new run");
            }

            kept.Position = 0;
            if (from <= begun.Records)
            {
                return kept;
            }

            kept.Dispose();
            log.EndByWord(begun.Records);
            return null;
        }

        WriteGuard.Run(path, () => FileSystem.CreateFolder(Path.GetDirectoryName(FileSystem.FullPath(path))!));
        using (OutputFile file = context.Outputs.Create(path, isBinary: true))
        {
            StepCompiler.Write(steps[step], beam, settings, file.Stream, context.Sink, context.Cancellation);
            file.Commit();
        }

        return FileSystem.OpenRead(path);
    }

    private SendReport Send(int step, Beam beam, FileStream stream, long from, Receiver receiver, SendOptions options, IReadOnlyCollection<KeyValuePair<string, string>> notes)
    {
        string path = part.StreamOf(steps[step].Name);
        string hash = Convert.ToHexStringLower(SHA256.HashData(stream));
        stream.Position = 0;
        var (header, totals, _) = SendCommand.Check(stream, path, context);
        log.BeginStep(
            new SentStream(stream, part.NameInLog(path), header, totals.Records, null, notes),
            hash,
            receiver.Link,
            from,
            line => line with { Pattern = pattern, CurrentAmperes = part.Begun(step) is null ? beam.CurrentAmperes : null, Job = part.JobInLog(settings.Job.File) });
        stream.Position = 0;
        return SendCommand.Transfer(stream, path, receiver.To, receiver.Messages, options with { FirstRecord = from - 1 }, log, context);
    }

    private sealed record Receiver(Stream To, LinkListener Messages, string Link);
}
