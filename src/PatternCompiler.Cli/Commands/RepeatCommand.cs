using System.CommandLine;
using System.Text.Json;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Manual;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Jobs;
using PatternCompiler.Prediction.Compare;
using PatternCompiler.Runs;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc repeat</c>: builds what a run of a log has written, or names what differs.</summary>
internal static class RepeatCommand
{
    private const int MostDifferences = 8;
    private const int LongestValue = 80;

    public static PatternCommand Create()
    {
        Argument<string> input = InputArgument.Create("Log of runs, as 'send --log' keeps it.");
        Option<string?> run = LogCommand.RunOption();
        run.Required = true;
        Option<string?> job = FileOption.CreateRead("--job", "The job that made the stream; the one that the log tells if absent.");
        Option<string> output = FileOption.CreateWritten("--output", _ => OutputChoice.Of("stream"), "Write the bytes to FILE if they are the same; - is standard output.");
        output.Aliases.Add("-o");
        return new PatternCommand("repeat", "Build again what a run of a log has written, or name what differs.")
        {
            Details = "The job is built with the files as they are now. If an output has the bytes that were sent, it can be written; else nothing is, and the error names what differs from then: the version of the program, inputs by their hashes, settings one by one. The log knows all this of streams that were sent with --provenance.",
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
            if (found is not { Provenance: JsonElement provenance, First.Sha256: string hash })
            {
                throw new CompileException(
                    RunCodes.NoJob, $"the log does not tell what the stream of run {found.First.Run} was made from", new SourcePlace(log), "send streams with --provenance, the file that 'build --provenance' has written");
            }

            string path = result.GetValue(job) ?? (found.Job is null ? null : Path.Combine(Path.GetDirectoryName(log) ?? "", found.Job)) ?? throw new CompileException(
                RunCodes.NoJob, $"the log does not tell where the job of run {found.First.Run} lies", new SourcePlace(log), "name it with --job");
            BuildSettings settings = BuildSettings.Read(JobFile.Read(path)) with { ToolVersion = VersionAction.Version };
            using OutputFile? file = result.GetValue(output) is { } target ? context.Outputs.Create(target, isBinary: true) : null;
            using var files = new BuildFiles(context);
            RunRepeat repeat = RunRepeat.Build((hash, provenance), settings, files, file?.Stream ?? Stream.Null, context.Sink, context.Cancellation);
            if (repeat.Output is null)
            {
                throw NotTheSame(repeat, found, path);
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

    private static CompileException NotTheSame(RunRepeat repeat, LoggedRun run, string job)
    {
        int more = repeat.Differences.Length - MostDifferences;
        string differing = string.Join("; ", repeat.Differences.Take(MostDifferences).Select(Text));
        return new CompileException(
            RunCodes.NotTheSame,
            $"this job no longer gives the bytes of run {run.First.Run}{(differing.Length == 0 ? "" : $"; then | now: {differing}")}{(more > 0 ? $"; and {more} more" : "")}",
            new SourcePlace(job),
            "take back what should be as it was");
    }

    private static string Text(ItemDifference difference) =>
        $"{difference.Place} {PrintedText.Cut(difference.First ?? "(none)", LongestValue)} | {PrintedText.Cut(difference.Second ?? "(none)", LongestValue)}";
}
