using System.Collections.Immutable;
using System.CommandLine;
using System.CommandLine.Parsing;
using System.Text;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Batch;
using PatternCompiler.Reports;
using PatternCompiler.Reports.Html;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc batch</c>: many jobs, only what has changed, side by side.</summary>
internal static class BatchCommand
{
    private const int BytesToSearch = 1 << 16;

    public static PatternCommand Create()
    {
        var inputs = new Argument<string[]>("input")
        {
            Description = "A batch file (- is standard input), or job files; *, ? and ** stand for parts of names and folders.",
            HelpName = "FILE...",
            Arity = ArgumentArity.OneOrMore,
        };
        inputs.Validators.Add(FileNameRule.Apply);
        Option<long?> parallel = NumberOption.CreateWhole("--parallel", "Build so many at once; one per processor if absent.", 1, 1024);
        Option<(int Part, int Parts)?> shard = CreateShard();
        var explain = new Option<bool>("--explain") { Description = "Say why each job was built." };
        var everyMessage = new Option<bool>("--every-message") { Description = "Print each note and warning of each job, not one of a kind." };
        var all = new Option<bool>("--rebuild-all") { Description = "Build everything, whatever has changed." };
        Option<string> json = FileOption.CreateWritten("--json", _ => OutputChoice.Of("json"), "Write the results as JSON; - is standard output.");
        Option<string> dependencies = FileOption.CreateWritten("--depfile", _ => new OutputChoice([FileContent.Text]), "Write what was made from what, for make and ninja. Ninja must know all outputs, in the order of the jobs and, of each job, its outputs, kept documents and report.");
        Option<string?> reports = FileOption.Create("--report", "Write a report of each job, and an index of them, into FOLDER.", "FOLDER");
        Option<string?> records = FileOption.Create("--records", "Keep the records of earlier builds in FOLDER.", "FOLDER");
        return new PatternCommand("batch", "Build many jobs: side by side, and only what has changed.")
        {
            Details = "A batch file names jobs and values to vary (dose, pitch, machine, parameters), and every combination is built. A job is built again only if the content of its inputs, its values, its outputs or this program has changed. A failure does not stop the others; failures are listed at the end, after one note or warning of each kind.",
            Examples =
            [
                new("patternc batch dose-series.yaml", "builds what a batch file asks for"),
                new("patternc batch \"chips/**/job.yaml\" --explain", "builds every job below a folder and says why"),
                new("patternc batch dose-series.yaml --report reports", "writes a page for each job, and reports/index.html, which sorts them and lays their predicted prints side by side"),
                new("find chips -name job.yaml -newer list.txt | patternc batch @-", "builds the jobs that another program lists"),
                new("patternc batch dose-series.yaml --shard 2/4 --json results.json", "the second quarter, for one machine of four"),
            ],
            Files =
            [
                new("BATCH.yaml", "'batch:' names it, 'jobs:' the job files, 'vary:' the values of which every combination is built, 'folder:' where each goes, with {job}, {values} or the name of a varied value in it."),
                new(".patternc/", "Records of earlier builds: content hashes of what each job was made from, and into what. Beside the batch file, or in the current folder for job files; safe to delete."),
            ],
            Arguments = { inputs },
            Options = { parallel, shard, explain, everyMessage, all, json, dependencies, reports, records },
        }.Runs((result, context) =>
        {
            BatchPlan plan = ReadPlan(result.GetRequiredValue(inputs), context);
            if (result.GetValue(reports) is { } reportFolder)
            {
                plan = plan.WithReports(reportFolder);
            }

            if (result.GetValue(shard) is { } part)
            {
                plan = plan.Shard(part.Part, part.Parts);
            }

            string folder = result.GetValue(records)
                ?? Path.Combine(Path.GetDirectoryName(plan.File) is { Length: > 0 } beside ? beside : ".", BatchOptions.RecordsFolderName);
            var options = new BatchOptions(VersionAction.Version, folder, (int)(result.GetValue(parallel) ?? Environment.ProcessorCount))
            {
                RebuildAll = result.GetValue(all),
                IsStrict = context.IsStrict,
            };
            ProgressItem progress = context.Progress.Add(plan.Name, plan.Entries.Length);
            ImmutableArray<EntryResult> results = BatchRunner.Run(
                plan,
                options,
                () => new BuildFiles(context),
                entry =>
                {
                    progress.Advance(1);
                    Tell(entry, result.GetValue(explain), result.GetValue(everyMessage), context);
                },
                context.Cancellation);
            Write(result.GetValue(dependencies), stream => stream.Write(DependencyFile.Print(results, ".")), context);
            Write(result.GetValue(json), stream => BatchJson.Write(plan, results, stream), context);
            if (result.GetValue(reports) is { } indexFolder)
            {
                WriteIndex(indexFolder, BatchIndex.Of(plan, results, options.ToolVersion), context);
            }

            return Summarise(results, result.GetValue(everyMessage), context);
        });
    }

    private static void WriteIndex(string folder, IndexContent index, CommandContext context)
    {
        // Reports are made beside it, but a batch whose every job failed has made no folder.
        WriteGuard.Run(folder, () => FileSystem.CreateFolder(folder));
        Write(Path.Combine(folder, BatchIndex.FileName), stream => IndexPage.Write(index, stream), context);
    }

    private static BatchPlan ReadPlan(string[] inputs, CommandContext context)
    {
        if (inputs is [InputFile.StandardName])
        {
            using InputStream input = context.Open(InputFile.StandardName);
            return BatchFile.Parse(JobInput.ReadText(input, "batch"), InputFile.StandardName);
        }

        return inputs.Length == 1 && IsBatchFile(inputs[0]) ? BatchFile.Read(inputs[0]) : BatchPlan.OfJobs(inputs);
    }

    // A batch file and a job file each name themselves by their first key.
    private static bool IsBatchFile(string path)
    {
        if (FileSystem.Look(path) is not { Kind: FileKind.Regular })
        {
            return false;
        }

        try
        {
            using FileStream file = FileSystem.OpenRead(path);
            var head = new byte[BytesToSearch];
            ReadOnlySpan<byte> text = head.AsSpan(0, file.ReadAtLeast(head, head.Length, throwOnEndOfStream: false));
            foreach (Range line in text.Split((byte)'\n'))
            {
                if (text[line].StartsWith("batch:"u8))
                {
                    return true;
                }
            }

            return false;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            throw InputStream.Explain(path, fault);
        }
    }

    private static void Tell(EntryResult entry, bool explain, bool everyMessage, CommandContext context)
    {
        switch (entry.Outcome)
        {
            case EntryOutcome.Built:
                context.Messages.Say(explain ? $"built {entry.Entry.Name}: {string.Join("; ", entry.Reasons)}" : $"built {entry.Entry.Name}");
                if (everyMessage)
                {
                    Report(entry.Diagnostics, context);
                }

                break;
            case EntryOutcome.UpToDate:
                if (explain)
                {
                    context.Messages.Say($"up to date {entry.Entry.Name}");
                }

                if (everyMessage)
                {
                    Report(entry.Diagnostics, context);
                }

                break;
        }
    }

    private static int Summarise(ImmutableArray<EntryResult> results, bool everyMessage, CommandContext context)
    {
        if (!everyMessage)
        {
            Report(MessageSummary.Of(results), context);
        }

        EntryResult[] failures = [.. results.Where(entry => entry.Outcome == EntryOutcome.Failed)];
        foreach (EntryResult failure in failures)
        {
            context.Messages.Say($"failed {failure.Entry.Name}");
            Report(failure.Diagnostics.Where(diagnostic => everyMessage || diagnostic.Severity == Severity.Error), context);
        }

        int built = results.Count(entry => entry.Outcome == EntryOutcome.Built);
        context.Messages.Say($"{built} built, {results.Length - built - failures.Length} up to date, {failures.Length} failed");
        return failures.Length == 0 ? ExitCode.Done : ExitCode.For(failures[0].Diagnostics[^1].Code.Kind);
    }

    private static void Report(IEnumerable<Diagnostic> diagnostics, CommandContext context)
    {
        foreach (Diagnostic diagnostic in diagnostics)
        {
            context.Messages.Report(diagnostic);
        }
    }

    private static void Write(string? name, Action<Stream> write, CommandContext context)
    {
        if (name is null)
        {
            return;
        }

        using OutputFile file = context.Outputs.Create(name);
        write(file.Stream);
        file.Commit();
    }

    private static Option<(int Part, int Parts)?> CreateShard() => new("--shard")
    {
        Description = "Build only part K of N, for job arrays of a cluster or of continuous integration.",
        HelpName = "K/N",
        CustomParser = result =>
        {
            string text = result.Tokens[0].Value;
            string[] numbers = text.Split('/');
            if (numbers.Length == 2 && NumberText.TryParseInteger(numbers[0], out long part) && NumberText.TryParseInteger(numbers[1], out long parts)
                && part >= 1 && part <= parts && parts <= int.MaxValue)
            {
                return ((int)part, (int)parts);
            }

            result.AddError($"option '--shard' takes K/N with K from 1 to N, not '{text}'");
            return null;
        },
    };
}
