using System.Collections.Immutable;
using System.CommandLine;
using System.Text.Json;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Manual;
using PatternCompiler.Cli.Running;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Jobs;
using PatternCompiler.Prediction.Compare;
using PatternCompiler.Runs;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc repeat</c>: builds what a run of a log has written, or names what differs.</summary>
internal static class RepeatCommand
{
    private const int MostDifferences = 8;
    private const int LongestValue = 80;

    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Log of runs, as 'send --log' and 'run --log' keep it.");
        Option<string?> run = LogCommand.RunOption();
        run.Required = true;
        Option<string?> job = FileOption.CreateRead("--job", "The job that made the stream; the one that the log tells if absent.");
        Option<string> output = FileOption.CreateWritten("--output", _ => OutputChoice.Of("stream"), "Write the bytes to FILE if they are the same; - is standard output.");
        output.Aliases.Add("-o");
        return new PatternCommand("repeat", "Build again what a run of a log has written, or name what differs.")
        {
            Details = "The job is built with the files as they are now. If an output has the bytes that were sent, it can be written; else nothing is, and the error names what differs from then: the version of the program, inputs by their hashes, settings one by one. The log knows all this of streams that were sent with --provenance, and of whatever 'run' has written.\n"
                + "Of a run in steps every step that was sent is built with the current that was read then, and all must have their bytes; --output then gives each step a file, with its name added.",
            ExitCodes =
            [
                new(ExitCode.Done, "the job still gives the bytes that were sent"),
                new(ExitCode.InputWrong, "it gives others, or something is wrong with the input"),
                .. ExitCodeMeaning.Usual.Where(code => code.Code is not (ExitCode.Done or ExitCode.InputWrong)),
            ],
            Examples =
            [
                new("patternc repeat runs.log --run last", "whether it could be written again"),
                new("patternc repeat runs.log --run 20260301T1430 -o again.stream", "the same bytes"),
            ],
            Arguments = { input },
            Options = { run, job, output },
        }.Runs((result, context) =>
        {
            string log = result.GetRequiredValue(input);
            using Stream source = InputFile.OpenAgainAndAgain(log);
            LoggedRun found = RunName.Find(result.GetValue(run)!, LoggedRun.ReadAll(source, log), log);
            if (!found.Steps.IsEmpty)
            {
                return Steps(found, log, result.GetValue(job), result.GetValue(output), context);
            }

            if (found is not { Provenance: JsonElement provenance, First.Sha256: string hash })
            {
                throw new CompileException(
                    RunCodes.NoJob, $"the log does not tell what the stream of run {found.First.Run} was made from", new SourcePlace(log), "send streams with --provenance, the file that 'build --provenance' has written");
            }

            string path = JobOf(found, log, result.GetValue(job));
            BuildSettings settings = BuildSettings.Read(JobFile.Read(path)) with { ToolVersion = VersionAction.Version };
            using OutputFile? file = result.GetValue(output) is { } target ? context.Outputs.Create(target, isBinary: true) : null;
            using var files = new BuildFiles(context);
            RunRepeat repeat = RunRepeat.Build((hash, provenance), settings, files, file?.Stream ?? Stream.Null, context.Sink, context.Cancellation);
            if (repeat.Output is null)
            {
                throw NotTheSame(repeat.Differences, found, path);
            }

            file?.Commit();
            foreach (ItemDifference difference in repeat.Differences)
            {
                context.Messages.Say($"without effect on the bytes: {Text(difference)}");
            }

            context.Messages.Say($"{path} gives the bytes of run {found.First.Run}: SHA-256 {hash}");
            return ExitCode.Done;
        });
    }

    /// <summary>A run in steps: each with the current that was read then.</summary>
    private static int Steps(LoggedRun run, string log, string? job, string? output, CommandContext context)
    {
        if (!run.Steps.Values.Any(step => step is { Sha256: not null, CurrentAmperes: not null }))
        {
            throw new CompileException(RunCodes.NoJob, $"of run {run.First.Run} no step was sent", new SourcePlace(log), "name another run; 'patternc log' lists them");
        }

        if (output == OutputFiles.StandardName && run.StepCount > 1)
        {
            throw new CompileException(
                FieldCodes.BadSetting, $"the {run.StepCount} steps of a run cannot all go to standard output", fix: "name a file, which every step gets with its own name added");
        }

        string path = JobOf(run, log, job);
        BuildSettings settings = BuildSettings.Read(JobFile.Read(path)) with { ToolVersion = VersionAction.Version };
        using var files = new BuildFiles(context);
        var made = new List<OutputFile>();
        try
        {
            RepeatedSteps repeat = RunRepeat.BuildSteps(run, settings, files, Created, context.Sink, context.Cancellation);
            if (!repeat.AreAllSame)
            {
                throw NotTheSame(repeat.Differences, run, path);
            }

            made.ForEach(file => file.Commit());
            foreach (ItemDifference difference in repeat.Differences)
            {
                context.Messages.Say($"without effect on the bytes: {Text(difference)}");
            }

            foreach (LoggedStep step in repeat.Same)
            {
                context.Messages.Say($"{path} gives the bytes of {PrintedText.Of(step.Name)} of run {run.First.Run}, for {QuantityText.Format(step.CurrentAmperes!.Value, Dimension.Current, 4)} as read then: SHA-256 {step.Sha256}");
            }

            return ExitCode.Done;
        }
        finally
        {
            made.ForEach(file => file.Dispose());
        }

        Stream Created(string step)
        {
            if (output is null)
            {
                return Stream.Null;
            }

            string name = run.StepCount == 1 ? output : Path.Combine(Path.GetDirectoryName(output) ?? "", $"{Path.GetFileNameWithoutExtension(output)}-{RunPart.FileNameOf(step)}{Path.GetExtension(output)}");
            made.Add(context.Outputs.Create(name, isBinary: true));
            return made[^1].Stream;
        }
    }

    private static string JobOf(LoggedRun run, string log, string? stated) =>
        stated ?? (run.Job is null ? null : Path.Combine(Path.GetDirectoryName(log) ?? "", run.Job)) ?? throw new CompileException(
            RunCodes.NoJob, $"the log does not tell where the job of run {run.First.Run} lies", new SourcePlace(log), "name it with --job");

    private static CompileException NotTheSame(ImmutableArray<ItemDifference> differences, LoggedRun run, string job)
    {
        int more = differences.Length - MostDifferences;
        string differing = string.Join("; ", differences.Take(MostDifferences).Select(Text));
        return new CompileException(
            RunCodes.NotTheSame,
            $"this job no longer gives the bytes of run {run.First.Run}{(differing.Length == 0 ? "" : $"; then | now: {differing}")}{(more > 0 ? $"; and {more} more" : "")}",
            new SourcePlace(job),
            "take back what should be as it was");
    }

    private static string Text(ItemDifference difference) =>
        $"{difference.Place} {PrintedText.Cut(difference.First ?? "(none)", LongestValue)} | {PrintedText.Cut(difference.Second ?? "(none)", LongestValue)}";
}
