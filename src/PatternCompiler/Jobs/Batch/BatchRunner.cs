using System.Collections.Concurrent;
using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Build;

namespace PatternCompiler.Jobs.Batch;

/// <summary>
/// Builds the entries of a batch side by side, but only those whose inputs, values, outputs or program version have
/// changed since their last build. A failure does not stop the others.
/// </summary>
internal sealed class BatchRunner
{
    /// <summary>How much older than its record a file must be to be taken as unchanged by size and time alone: 2 s, the coarsest file time in use.</summary>
    private const long ClockCoarsenessTicks = 2 * TimeSpan.TicksPerSecond;

    private readonly BatchOptions options;
    private readonly Func<IBuildFiles> openFiles;
    private readonly CancellationToken cancellation;
    private readonly FileStamps stamps = new();
    private readonly BuildRecords records;
    private readonly ConcurrentDictionary<string, Lazy<Machine>> machines = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, Lazy<Resist>> processes = new(StringComparer.Ordinal);

    private BatchRunner(BatchOptions options, Func<IBuildFiles> openFiles, CancellationToken cancellation)
    {
        this.options = options;
        this.openFiles = openFiles;
        this.cancellation = cancellation;
        records = new BuildRecords(FileSystem.FullPath(options.RecordsFolder));
    }

    /// <summary>Builds what has changed.</summary>
    /// <param name="plan">The entries.</param>
    /// <param name="options">How to run.</param>
    /// <param name="openFiles">Gives each build its files; called from several threads. Disposed of after the build if it can be.</param>
    /// <param name="finished">Called for each entry as it ends, never twice at once, in no fixed order; or null.</param>
    /// <param name="cancellation">Stops the batch; what is built stays built.</param>
    /// <returns>The results in the plan's order.</returns>
    public static ImmutableArray<EntryResult> Run(
        BatchPlan plan,
        BatchOptions options,
        Func<IBuildFiles> openFiles,
        Action<EntryResult>? finished,
        CancellationToken cancellation) =>
        new BatchRunner(options, openFiles, cancellation).Run(plan, finished);

    private ImmutableArray<EntryResult> Run(BatchPlan plan, Action<EntryResult>? finished)
    {
        var work = new EntryWork[plan.Entries.Length];
        ForEach(work.Length, i => work[i] = Prepare(plan.Entries[i]));
        RefuseClashes(work);
        var gate = new Lock();
        ForEach(work.Length, i =>
        {
            work[i] = work[i].Result is null ? work[i] with { Result = Build(work[i]) } : work[i];
            lock (gate)
            {
                finished?.Invoke(work[i].Result!);
            }
        });
        return [.. work.Select(item => item.Result!)];
    }

    private void ForEach(int count, Action<int> action)
    {
        var parallel = new ParallelOptions { MaxDegreeOfParallelism = options.Parallel, CancellationToken = cancellation };
        try
        {
            // One entry at a time to each thread: entries differ in length by orders of magnitude.
            Parallel.ForEach(Partitioner.Create(Enumerable.Range(0, count), EnumerablePartitionerOptions.NoBuffering), parallel, action);
        }
        catch (AggregateException faults)
        {
            throw faults.InnerExceptions[0] is OperationCanceledException or CompileException ? faults.InnerExceptions[0] : faults;
        }
    }

    /// <summary>Decides whether an entry must be built, and reads its settings if so.</summary>
    private EntryWork Prepare(BatchEntry entry)
    {
        cancellation.ThrowIfCancellationRequested();
        (BuildRecord? record, ImmutableArray<string> reasons) = FindReasons(entry);
        if (record is not null && reasons.IsEmpty)
        {
            FileStamps.MoveUp(record.Outputs, record.Inputs);
            Refresh(entry, record);
            var upToDate = new EntryResult(entry, EntryOutcome.UpToDate, [], record.Inputs, record.Outputs, record.Losses, null)
            {
                Figures = record.Figures,
                Print = record.Print,
                HasNewBytes = false,
            };
            return new EntryWork(entry, reasons, null, [.. record.Outputs.Select(output => output.Path)], upToDate, record);
        }

        try
        {
            BuildSettings settings = entry.ReadSettings(ReadMachine, ReadProcess);
            return new EntryWork(entry, reasons, settings, [.. settings.Job.OutputPaths.Select(FileSystem.FullPath)], null, record);
        }
        catch (CompileException fault)
        {
            return new EntryWork(entry, reasons, null, [], Failure(entry, reasons, [], fault.Diagnostic), record);
        }
    }

    /// <summary>Notes the new times of files that were touched without a change, so that they need not be read next time.</summary>
    private void Refresh(BatchEntry entry, BuildRecord record)
    {
        FileStamp AsNow(FileStamp file) => FileStamps.Look(file.Path) is (_, long ticks) && ticks != file.ModifiedTicks
            && stamps.Take(file.Path) is FileStamp now && now.Hash == file.Hash ? now : file;
        BuildRecord current = record with { Inputs = [.. record.Inputs.Select(AsNow)], Outputs = [.. record.Outputs.Select(AsNow)] };
        if (current.Inputs.SequenceEqual(record.Inputs) && current.Outputs.SequenceEqual(record.Outputs))
        {
            return;
        }

        try
        {
            records.Write(entry, current);
        }
        catch (CompileException)
        {
            // The old record still holds; it only means reading the files again next time.
        }
    }

    private (BuildRecord? Record, ImmutableArray<string> Reasons) FindReasons(BatchEntry entry)
    {
        (BuildRecord Record, long WrittenTicks)? found = records.Find(entry, out bool isDamaged);
        if (options.RebuildAll)
        {
            return (found?.Record, ["building everything was asked for"]);
        }

        if (found is not (BuildRecord record, long written))
        {
            return (null, [isDamaged ? "the record of its last build cannot be read" : "it has not been built yet"]);
        }

        var reasons = ImmutableArray.CreateBuilder<string>();
        if (record.ToolVersion != options.ToolVersion)
        {
            reasons.Add($"it was built by version {record.ToolVersion}, this is {options.ToolVersion}");
        }

        if (record.Fingerprint != entry.Fingerprint)
        {
            reasons.Add("its values in the batch file have changed");
        }

        if (entry.ReportPath is { } report && !record.Outputs.Any(output => output.Path == FileSystem.FullPath(report)))
        {
            reasons.Add("its report has not been written yet");
        }

        if (options.IsStrict && !record.Losses.IsEmpty)
        {
            reasons.Add("something was lost in it, which strictness forbids");
        }

        AddChanges(reasons, "input", record.Inputs, written);
        AddChanges(reasons, "output", record.Outputs, written);
        return (record, reasons.ToImmutable());
    }

    private void AddChanges(ImmutableArray<string>.Builder reasons, string role, ImmutableArray<FileStamp> files, long written)
    {
        foreach (FileStamp file in files)
        {
            if (!stamps.IsUnchanged(file, written - ClockCoarsenessTicks))
            {
                string change = FileStamps.Look(file.Path) is null ? "is missing" : "has changed";
                reasons.Add($"the {role} {FileSystem.RelativePath(Path.GetDirectoryName(records.Folder) ?? "", file.Path)} {change}");
            }
        }
    }

    /// <summary>
    /// The first entry that makes a file keeps it; the others fail before anything is built, and so does one that would write over
    /// what another reads.
    /// </summary>
    private static void RefuseClashes(EntryWork[] work)
    {
        Dictionary<string, BatchEntry> readers = new(StringComparer.Ordinal);
        foreach (EntryWork item in work)
        {
            foreach (string input in InputsOf(item))
            {
                readers.TryAdd(FileSystem.IdentityOf(input), item.Entry);
            }
        }

        Dictionary<string, BatchEntry> makers = new(StringComparer.Ordinal);
        for (int i = 0; i < work.Length; i++)
        {
            EntryWork item = work[i];
            foreach (string output in item.OutputPaths)
            {
                string identity = FileSystem.IdentityOf(output);
                Diagnostic? error = readers.TryGetValue(identity, out BatchEntry? reader)
                    ? new Diagnostic(
                        BatchCodes.OutputIsInput,
                        Severity.Error,
                        $"the output '{output}' is read by '{reader.Name}'",
                        new SourcePlace(item.Entry.JobPath),
                        "give the output another name, or build the two jobs one after the other")
                    : makers.TryAdd(identity, item.Entry) ? null
                    : new Diagnostic(
                        BatchCodes.SameOutput,
                        Severity.Error,
                        $"the output '{output}' is made by '{makers[identity].Name}', too",
                        new SourcePlace(item.Entry.JobPath),
                        "give the entries different outputs");
                if (error is not null)
                {
                    work[i] = item with { Result = Failure(item.Entry, item.Reasons, [], error) };
                    break;
                }
            }
        }
    }

    private static IEnumerable<string> InputsOf(EntryWork work) => work.Settings is { } settings
        ? [.. SettingsFilesOf(work.Entry, settings.Job), .. settings.Job.Sources.Select(source => source.Path).Where(path => path != "-")]
        : work.Result?.Inputs.Select(input => input.Path) ?? [];

    private EntryResult Build(EntryWork work)
    {
        BatchEntry entry = work.Entry;
        var sink = new DiagnosticSink();
        IBuildFiles? files = null;
        try
        {
            BuildSettings settings = work.Settings! with { ToolVersion = options.ToolVersion };
            settings = settings with { Job = settings.Job with { IsStrict = settings.Job.IsStrict || options.IsStrict } };
            if (settings.Machine.OldSense is { } note)
            {
                sink.Report(note);
            }

            files = openFiles();
            var recorded = new RecordedFiles(files);
            List<(string Path, (long Bytes, long ModifiedTicks)? Look)> before =
                [.. SettingsFilesOf(entry, settings.Job).Select(path => (path, FileStamps.Look(path)))];
            records.Remove(entry);
            BuildSummary summary = BuildRunner.Run(settings, recorded, sink, cancellation);
            before.AddRange(recorded.Opened);
            ImmutableArray<FileStamp> inputs = [.. before.DistinctBy(file => file.Path).Select(file => stamps.Take(FileSystem.FullPath(file.Path))).OfType<FileStamp>()];
            ImmutableArray<FileStamp> outputs = [.. summary.Files.OrderBy(file => IsBetweenStages(file, settings.Job)).Select(file => stamps.Take(FileSystem.FullPath(file.Path))).OfType<FileStamp>()];
            var figures = new BuildFigures(
                summary.Estimate.TotalSeconds,
                sink.Collected.Count(diagnostic => diagnostic.Severity == Severity.Warning),
                sink.Collected.Count(diagnostic => diagnostic.Severity == Severity.Note))
            {
                Records = summary.Exposure.Records,
                ChargeCoulombs = summary.Strokes.ChargeCoulombs,
            };
            Record(entry, before, new BuildRecord(options.ToolVersion, entry.Fingerprint, inputs, outputs) { Figures = figures, Print = summary.Print }, sink);
            return new EntryResult(entry, EntryOutcome.Built, work.Reasons, inputs, outputs, [.. sink.Collected], summary)
            {
                Figures = figures,
                Print = summary.Print,
                HasNewBytes = work.Before is { } earlier ? HaveNewBytes(earlier.Outputs, outputs, settings.Job) : null,
            };
        }
        catch (CompileException fault)
        {
            return Failure(entry, work.Reasons, sink.Collected, fault.Diagnostic);
        }
        finally
        {
            (files as IDisposable)?.Dispose();
        }
    }

    private void Record(
        BatchEntry entry,
        List<(string Path, (long Bytes, long ModifiedTicks)? Look)> before,
        BuildRecord record,
        DiagnosticSink sink)
    {
        foreach ((string path, (long Bytes, long ModifiedTicks)? look) in before)
        {
            if (look is null || FileStamps.Look(path) != look)
            {
                sink.Warn(BatchCodes.ChangedMeanwhile, "this file was changed while it was read; it will be built again next time", new SourcePlace(path));
                return;
            }
        }

        try
        {
            records.Write(entry, record with { Losses = [.. sink.Collected.Where(diagnostic => diagnostic.Code.Kind == DiagnosticKind.Loss)] });
        }
        catch (CompileException fault)
        {
            sink.Warn(fault.Diagnostic.Code, fault.Diagnostic.Message, fault.Diagnostic.Place, fault.Diagnostic.Fix);
        }
    }

    /// <summary>True if an output is new or has another content. Report, provenance and places are none: they name everything that was read.</summary>
    private static bool HaveNewBytes(ImmutableArray<FileStamp> before, ImmutableArray<FileStamp> now, Job job)
    {
        string[] others = [.. new[] { job.Report?.Path, job.ProvenancePath, job.PlacesPath }.OfType<string>().Select(FileSystem.FullPath)];
        Dictionary<string, string> hashes = before.ToDictionary(file => file.Path, file => file.Hash, StringComparer.Ordinal);
        return now.Any(file => !others.Contains(file.Path) && hashes.GetValueOrDefault(file.Path) != file.Hash);
    }

    private Machine ReadMachine(string? path) => path is null
        ? DefaultFiles.Machine
        : machines.GetOrAdd(path, key => new Lazy<Machine>(() => MachineFile.Read(key))).Value;

    private Resist ReadProcess(string? path) => path is null
        ? DefaultFiles.Process
        : processes.GetOrAdd(path, key => new Lazy<Resist>(() => ProcessFile.Read(key))).Value;

    private static IEnumerable<string> SettingsFilesOf(BatchEntry entry, Job job) =>
        job.SettingsFiles.Select(file => file.Path).Prepend(entry.JobPath).Distinct();

    // Outputs come before kept documents, report and provenance: ninja compares the first file of a dependency file with the first
    // output that it knows.
    private static bool IsBetweenStages(BuiltFile file, Job job) =>
        !job.Outputs.Any(output => output.Path == file.Path) && file.Content is "layout" or "figures" or "strokes" or "records" or "report" or "provenance" or "places";

    private static EntryResult Failure(BatchEntry entry, ImmutableArray<string> reasons, IEnumerable<Diagnostic> before, Diagnostic error) =>
        new(entry, EntryOutcome.Failed, reasons, [], [], [.. before, error], null);

    /// <summary>An entry on its way: what is known of it before it is built.</summary>
    private sealed record EntryWork(
        BatchEntry Entry,
        ImmutableArray<string> Reasons,
        BuildSettings? Settings,
        ImmutableArray<string> OutputPaths,
        EntryResult? Result,
        BuildRecord? Before);
}
