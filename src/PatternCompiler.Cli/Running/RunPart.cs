using System.Collections.Immutable;
using System.Globalization;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Links;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Runs;
using PatternCompiler.Runs.Steps;

namespace PatternCompiler.Cli.Running;

/// <summary>Which part of which run is written, and what its log tells of the parts before.</summary>
/// <param name="Log">The log.</param>
/// <param name="Run">The run.</param>
/// <param name="Number">Which part of it, from 1.</param>
/// <param name="Before">The run as the log has it; null for a new one.</param>
/// <param name="Pattern">Hash of the pattern that it was begun with; null for a new one.</param>
internal sealed record RunPart(string Log, string Run, int Number, LoggedRun? Before, string? Pattern)
{
    /// <summary>A new run.</summary>
    public static RunPart New(string log, TimeProvider time) => new(log, SendLog.NewRun(time), 1, null, null);

    /// <summary>The next part of a run.</summary>
    /// <param name="log">The log.</param>
    /// <param name="word">The run's name, the first letters of it, or last.</param>
    /// <exception cref="CompileException">There is none, it is none in steps, or it is complete.</exception>
    public static RunPart Next(string log, string word)
    {
        using Stream source = InputFile.OpenAgainAndAgain(log);
        LoggedRun found = RunName.Find(word, LoggedRun.ReadAll(source, log), log);
        string? problem = found.Steps.IsEmpty ? "was no run in steps; 'send --from' goes on with its stream" : found.Outcome == RunOutcome.Written ? "is written, all of it" : null;
        return problem is null
            ? new RunPart(log, found.First.Run, found.Parts + 1, found, found.Pattern)
            : throw new CompileException(RunCodes.CannotResume, $"run {found.First.Run} {problem}", new SourcePlace(log), "name another run; 'patternc log' lists them");
    }

    /// <summary>The pattern must be the one that the run was begun with, and a record can be stated of a step that was cut short alone.</summary>
    /// <param name="pattern">Hash of the pattern.</param>
    /// <param name="steps">Its steps.</param>
    /// <param name="stated">Record with which a step is to go on; null if none is stated.</param>
    /// <exception cref="CompileException">It is another, or no step was cut short.</exception>
    public void Require(string pattern, ImmutableArray<RunStep> steps, long? stated)
    {
        if (stated is not null && !Enumerable.Range(0, steps.Length).Any(step => Begun(step) is not null))
        {
            throw new CompileException(
                RunCodes.CannotResume, $"no step of run {Run} was begun and not ended, so there is no record to go on with", new SourcePlace(Log), "leave out --from; the next step is written from its beginning");
        }

        bool isSame = Before is null || (Pattern is null || Pattern == pattern) && Before.StepCount == steps.Length && Before.Steps.All(step => step.Key <= steps.Length && steps[step.Key - 1].Name == step.Value.Name);
        if (!isSame)
        {
            throw new CompileException(
                RunCodes.CannotResume, $"the job no longer gives the pattern that run {Run} was begun with", new SourcePlace(Log), "take back what was changed in drawings or settings, or begin a new run on another sample");
        }
    }

    /// <summary>Warns of a run of the same pattern that was not ended, where this one begins anew.</summary>
    public void WarnOfOpen(string pattern, DiagnosticSink sink)
    {
        if (Before is not null || !FileSystem.FileExists(Log))
        {
            return;
        }

        using Stream source = InputFile.OpenAgainAndAgain(Log);
        if (LoggedRun.ReadAll(source, Log).LastOrDefault(run => run.Pattern == pattern) is { Outcome: not RunOutcome.Written } open)
        {
            sink.Warn(
                RunCodes.BegunAgain,
                $"run {open.First.Run} of this pattern was not ended, and begins anew; on the same sample what it has written is written twice",
                new SourcePlace(Log),
                $"on the same sample go on with --resume {open.First.Run}");
        }
    }

    /// <summary>By the log, all of a step is in the resist.</summary>
    public bool IsWritten(int step) => Before?.Steps.GetValueOrDefault(step + 1)?.Outcome == RunOutcome.Written;

    /// <summary>The step as it was begun; null if it was not.</summary>
    public LoggedStep? Begun(int step) => Before?.Steps.GetValueOrDefault(step + 1) is { Sha256: not null, Outcome: not RunOutcome.Written } begun ? begun : null;

    /// <summary>The record with which a step goes on.</summary>
    /// <param name="step">The step.</param>
    /// <param name="stated">What the user has stated, counted from 1; null if nothing.</param>
    /// <exception cref="CompileException">It is not known, or was written.</exception>
    public long FirstRecordOf(int step, long? stated)
    {
        if (Begun(step) is not { } begun)
        {
            return 1;
        }

        if (stated is { } from)
        {
            return from > begun.Written
                ? from
                : throw new CompileException(
                    RunCodes.WrittenAlready,
                    string.Create(CultureInfo.InvariantCulture, $"records {from} to {begun.Written} of step {PrintedText.Of(begun.Name)} are in the resist by this log"),
                    new SourcePlace(Log),
                    string.Create(CultureInfo.InvariantCulture, $"go on with --from {begun.Written + 1}"));
        }

        return begun.Outcome == RunOutcome.Stopped
            ? begun.Written + 1
            : throw new CompileException(
                RunCodes.CannotResume,
                string.Create(CultureInfo.InvariantCulture, $"step {PrintedText.Of(begun.Name)} ended early; records 1 to {begun.Written} of {begun.Records} are written, and of those behind nothing is sure. ")
                    + (begun.Fault is { } fault ? $"Its last message was: {PrintedText.Of(fault)}" : "Its program was killed"),
                new SourcePlace(Log),
                string.Create(CultureInfo.InvariantCulture, $"look at the sample for what is written last, and state the record to go on with: --from {begun.Written + 1} writes again whatever lies there behind the records that are confirmed"));
    }

    /// <summary>Where the stream of a step is kept: in a folder beside the log.</summary>
    public string StreamOf(string step) =>
        Path.Combine(Path.GetDirectoryName(Log) ?? "", $"{Path.GetFileNameWithoutExtension(Log)}-{Run}", FileNameOf(step) + ".stream");

    /// <summary>A step's name as part of a file's.</summary>
    public static string FileNameOf(string step) => string.Concat(step.Select(letter => char.IsAsciiLetterOrDigit(letter) || letter is '-' or '_' ? letter : '-'));

    /// <summary>A file as the log names it: from its folder.</summary>
    public string NameInLog(string path) => FileSystem.RelativePath(FolderOfLog, path).Replace('\\', '/');

    /// <summary>The job as the log names it.</summary>
    public string? JobInLog(string? path) => path is null ? null : NameInLog(path);

    private string FolderOfLog => Path.GetDirectoryName(FileSystem.FullPath(Log))!;
}
