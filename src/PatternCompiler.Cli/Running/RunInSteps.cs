using System.Collections.Immutable;
using System.Globalization;
using System.Security.Cryptography;
using System.Text.Json;
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
    // A dose that is off by less is not seen; common practice, no source.
    private const double NotableChange = 0.01;

    private readonly BuildSettings settings;
    private readonly ImmutableArray<RunStep> steps;
    private readonly JsonElement provenance;
    private readonly RunOperator asked;
    private readonly RunPart part;
    private readonly CommandContext context;
    private readonly BeamReadings readings;
    private readonly string pattern;
    private readonly long? stated;
    private bool hasToldCauses;
    private readonly SendLog log = new(TimeProvider.System);

    public RunInSteps(BuildSettings settings, CompiledRun compiled, RunOperator asked, RunPart part, long? from, CommandContext context)
    {
        (this.settings, steps, provenance, this.asked, this.part, stated, this.context) = (settings, compiled.Steps, compiled.Provenance, asked, part, from, context);
        readings = new BeamReadings(settings.Machine.Beam.CurrentAmperes, settings.Job.Run.CurrentWithin);
        pattern = PatternHash.Of(steps);
        part.Require(pattern, steps, from);
        part.WarnOfOpen(pattern, context.Sink);
    }

    /// <summary>Asks, makes and sends.</summary>
    /// <exception cref="CompileException">Nobody answers, something is not as it must be, or a stream is not written.</exception>
    public void Run(ReceiverLink receiver, string link, SendOptions options, IReadOnlyCollection<KeyValuePair<string, string>> notes)
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

            // What cannot be gone on with is refused before anything is asked or logged.
            long from = part.FirstRecordOf(i, stated);
            using Stream? kept = Kept(i);
            log.Enter(part.Log, part.Run, part.Number, new StepOfRun(steps[i].Name, i + 1, steps.Length));
            try
            {
                Ask([.. isFirst ? RunChecklist.Start(settings) : [], .. RunChecklist.Before(steps[i], isFirst ? null : steps[i - 1], settings)]);
                Beam beam = readings.From(TimeProvider.System.GetUtcNow().UtcDateTime, settings.Machine.Beam);
                if (part.Begun(i) is { } begun)
                {
                    if (from > begun.Records)
                    {
                        log.EndByWord(begun.Records);
                        isFirst = false;
                        continue;
                    }

                    WarnOfCurrent(begun, beam);
                }

                using Stream stream = kept ?? Made(i, beam);
                SendReport report = Send(i, beam, stream, from, new Receiver(receiver.To, messages, link), options, isFirst ? notes : []);
                if (report.WasStopped)
                {
                    context.Messages.Say(string.Create(
                        CultureInfo.InvariantCulture, $"{Name(i)}: stopped after record {report.RecordsWritten}, the receiver confirms that the beam is off; go on with --resume {part.Run}"));
                    return;
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

    /// <summary>The stream of a step that was begun, as it was sent; null for one that was not.</summary>
    private Stream? Kept(int step)
    {
        if (part.Begun(step) is not { } begun)
        {
            return null;
        }

        string path = part.StreamOf(steps[step].Name);
        Stream kept = InputFile.OpenAgainAndAgain(path);
        if (Convert.ToHexStringLower(SHA256.HashData(kept)) == begun.Sha256)
        {
            kept.Position = 0;
            return kept;
        }

        kept.Dispose();
        throw new CompileException(RunCodes.CannotResume, "this is not the stream that was begun", new SourcePlace(path), "bring the file back; without it begin a new run");
    }

    private Stream Made(int step, Beam beam)
    {
        string path = part.StreamOf(steps[step].Name);
        WriteGuard.Run(path, () => FileSystem.CreateFolder(Path.GetDirectoryName(FileSystem.FullPath(path))!));
        using (OutputFile file = context.Outputs.Create(path, isBinary: true))
        {
            StepCompiler.Write(steps[step], beam, settings, file.Stream, context.Sink, context.Cancellation);
            file.Commit();
        }

        return InputFile.OpenAgainAndAgain(path);
    }

    // A stream that was begun goes on as it was made, or records would be written twice or left out.
    private void WarnOfCurrent(LoggedStep begun, Beam beam)
    {
        if (begun.CurrentAmperes is double then && Math.Abs(beam.CurrentAmperes / then - 1) > NotableChange)
        {
            context.Sink.Warn(
                RunCodes.CurrentChanged,
                $"the rest of {PrintedText.Of(begun.Name)} was made for {QuantityText.Format(then, Dimension.Current, 4)}, and the beam has {QuantityText.Format(beam.CurrentAmperes, Dimension.Current, 4)} now: its doses are off by {100 * (beam.CurrentAmperes / then - 1):0.#} %",
                fix: "bring the current back, and resume; or accept it");
        }
    }

    private SendReport Send(int step, Beam beam, Stream stream, long from, Receiver receiver, SendOptions options, IReadOnlyCollection<KeyValuePair<string, string>> notes)
    {
        string path = part.StreamOf(steps[step].Name);
        string hash = Convert.ToHexStringLower(SHA256.HashData(stream));
        stream.Position = 0;
        var (header, totals, _) = SendCommand.Check(stream, path, context);
        bool isMade = part.Begun(step) is null;
        log.BeginStep(
            new SentStream(stream, part.NameInLog(path), header, totals.Records, null, notes),
            hash,
            receiver.Link,
            from,
            line => isMade
                ? line with
                {
                    Pattern = pattern,
                    CurrentAmperes = beam.CurrentAmperes,
                    LaterSeconds = beam.Later?.Seconds,
                    LaterAmperes = beam.Later?.Amperes,
                    Job = part.JobInLog(settings.Job.File),
                    Provenance = hasToldCauses ? null : provenance,
                }
                : line with { Pattern = pattern, Job = part.JobInLog(settings.Job.File) });
        hasToldCauses |= isMade;
        stream.Position = 0;
        return SendCommand.Transfer(stream, path, receiver.To, receiver.Messages, options with { FirstRecord = from - 1 }, log, context);
    }

    private sealed record Receiver(Stream To, LinkListener Messages, string Link);
}
