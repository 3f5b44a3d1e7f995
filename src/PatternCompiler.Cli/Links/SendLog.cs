using System.Globalization;
using System.Text.Json;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Files;
using PatternCompiler.Runs;
using PatternCompiler.Send;

namespace PatternCompiler.Cli.Links;

/// <summary>
/// What happens while a stream is sent, added to a log of runs line by line and at once, so that it is there after a crash. Several
/// processes may add to one log.
/// </summary>
internal sealed class SendLog
{
    private static readonly TimeSpan BetweenProgress = TimeSpan.FromSeconds(1);

    private readonly TimeProvider time;
    private readonly long start;
    private string? name;
    private string run = "";
    private int part;
    private StepOfRun? step;
    private long last;
    private long written;

    /// <summary>Starts the clock; nothing is kept before <see cref="Begin"/>.</summary>
    public SendLog(TimeProvider time)
    {
        this.time = time;
        start = time.GetTimestamp();
    }

    /// <summary>Seconds since the log began.</summary>
    public double Seconds => time.GetElapsedTime(start).TotalSeconds;

    /// <summary>Finds the run that this sending belongs to, and adds its first line.</summary>
    /// <param name="path">The log; made if it is not there.</param>
    /// <param name="sent">The stream.</param>
    /// <param name="link">The link.</param>
    /// <param name="from">First record, counted from 1.</param>
    /// <param name="sink">Takes warnings.</param>
    /// <exception cref="CompileException">The file is no log, or by it the records are written; or the provenance is that of another stream.</exception>
    public void Begin(string path, SentStream sent, string link, long from, DiagnosticSink sink)
    {
        string? hash = sent.Hash();
        JsonElement? provenance = sent.Provenance(hash);
        RunHistory history = WriteGuard.Run(path, () => HistoryOf(path, hash));
        (run, part) = history.Join(from, NewRun(time), path, sink);
        name = path;
        if (history.EndsInMiddle)
        {
            Append(path, "\n"u8.ToArray());
        }

        Add(RunEvent.Started, line => Begun(line, sent, hash, link, from) with
        {
            Job = provenance is JsonElement known ? sent.JobFrom(path, known, hash) : null,
            Provenance = provenance,
        });
    }

    /// <summary>A name for a run that joins none.</summary>
    public static string NewRun(TimeProvider time) => string.Create(CultureInfo.InvariantCulture, $"{time.GetUtcNow():yyyyMMdd'T'HHmmss.fff}-{Environment.ProcessId}");

    /// <summary>Goes to a step of a run; what is added from now on is about it.</summary>
    /// <param name="path">The log; made if it is not there.</param>
    /// <param name="run">The run.</param>
    /// <param name="part">Which part of it this program writes.</param>
    /// <param name="of">The step.</param>
    public void Enter(string path, string run, int part, StepOfRun of)
    {
        if (name is null && WriteGuard.Run(path, () => HistoryOf(path, null)).EndsInMiddle)
        {
            Append(path, "\n"u8.ToArray());
        }

        (name, this.run, this.part, step, written) = (path, run, part, of, 0);
    }

    /// <summary>Adds what was asked and answered before the step.</summary>
    public void Answered(IEnumerable<KeyValuePair<string, string>> answers) => Add(RunEvent.Answered, line => line with { Answers = Sorted(answers), Steps = step!.Of });

    /// <summary>Adds that the stream of the step is sent.</summary>
    /// <param name="sent">The stream.</param>
    /// <param name="hash">Its SHA-256.</param>
    /// <param name="link">The link.</param>
    /// <param name="from">First record, counted from 1.</param>
    /// <param name="about">What else the line tells.</param>
    public void BeginStep(SentStream sent, string hash, string link, long from, Func<RunLogLine, RunLogLine> about)
    {
        written = from - 1;
        Add(RunEvent.Started, line => about(Begun(line, sent, hash, link, from) with { Steps = step!.Of }));
    }

    /// <summary>Adds that the rest of the step is in the resist by the operator's word.</summary>
    public void EndByWord(long records) => Add(RunEvent.Written, line => line with { Written = records, Records = records, Steps = step!.Of, Text = "by the operator's word" });

    /// <summary>Adds notes to a run that a log holds.</summary>
    public static void Note(string path, LoggedRun run, IEnumerable<KeyValuePair<string, string>> notes, TimeProvider time)
    {
        byte[] line = new RunLogLine(time.GetUtcNow().UtcDateTime, run.First.Run, run.Parts, RunEvent.Noted) { Notes = Sorted(notes) }.ToBytes();
        bool endsInMiddle = WriteGuard.Run(path, () => HistoryOf(path, null)).EndsInMiddle;
        Append(path, endsInMiddle ? [(byte)'\n', .. line] : line);
    }

    /// <summary>Takes progress; an event is always written.</summary>
    public void Take(SendProgress progress)
    {
        written = progress.RecordsWritten;
        if (progress.Event is not null || time.GetElapsedTime(last) >= BetweenProgress)
        {
            last = time.GetTimestamp();
            Add(progress.Event is null ? RunEvent.Progress : RunEvent.Fault, line => line with { Written = written, Text = progress.Event });
        }
    }

    /// <summary>Adds how it ended.</summary>
    public void End(SendReport report) => Add(
        report.WasStopped ? RunEvent.Stopped : RunEvent.Written, line => line with { Written = report.RecordsWritten, Retries = report.Retries });

    /// <summary>Adds why it ended early.</summary>
    public void End(Diagnostic fault) => Add(RunEvent.Failed, line => line with { Written = written, Code = fault.Code.Id, Text = fault.ToString() });

    private static RunLogLine Begun(RunLogLine line, SentStream sent, string? hash, string link, long from) => line with
    {
        Stream = sent.Name,
        Sha256 = hash,
        Machine = sent.Header?.MachineName,
        MachineSettings = sent.Header?.MadeFor.Settings is { IsStated: true } settings ? settings.ToString() : null,
        ExposureSettings = sent.Header?.MadeFor.Exposure is { IsStated: true } exposure ? exposure.ToString() : null,
        Link = link,
        Notes = sent.Notes.Count > 0 ? Sorted(sent.Notes) : null,
        Version = VersionAction.Version,
        Records = sent.Records,
        From = from,
        Seconds = null,
    };

    private static RunHistory HistoryOf(string path, string? hash)
    {
        if (!FileSystem.FileExists(path))
        {
            return new RunHistory(null, 0, 0, false, default, false);
        }

        using FileStream log = FileSystem.OpenShared(path, FileAccess.Read);
        using var buffered = new BufferedStream(log);
        return RunHistory.Read(buffered, path, hash);
    }

    private static SortedDictionary<string, string> Sorted(IEnumerable<KeyValuePair<string, string>> notes)
    {
        var sorted = new SortedDictionary<string, string>(StringComparer.Ordinal);
        foreach ((string name, string text) in notes)
        {
            sorted[name] = text;
        }

        return sorted;
    }

    private void Add(RunEvent what, Func<RunLogLine, RunLogLine> fill)
    {
        if (name is not null)
        {
            var line = new RunLogLine(time.GetUtcNow().UtcDateTime, run, part, what) { Step = step?.Name, StepNumber = step?.Number, Seconds = Math.Round(Seconds, 3) };
            Append(name, fill(line).ToBytes());
        }
    }

    private static void Append(string name, byte[] line) => WriteGuard.Run(name, () =>
    {
        using FileStream file = FileSystem.OpenToAppend(name);
        file.Write(line);
    });
}

/// <summary>A step of a run.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Number">Its number, from 1.</param>
/// <param name="Of">Steps of the run.</param>
internal sealed record StepOfRun(string Name, int Number, int Of);
