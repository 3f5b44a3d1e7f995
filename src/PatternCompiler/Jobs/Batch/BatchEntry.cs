using System.Collections.Immutable;
using PatternCompiler.Instrument;

using PatternCompiler.Jobs.Report;

namespace PatternCompiler.Jobs.Batch;

/// <summary>One build of a batch: a job with the values that the batch gives it.</summary>
/// <param name="Name">Name for messages, unique in the batch.</param>
/// <param name="JobPath">The job file.</param>
/// <param name="Values">Values in place of the job's own.</param>
/// <param name="Folder">Where all its files go, or null to leave them where the job puts them.</param>
internal sealed record BatchEntry(string Name, string JobPath, ImmutableArray<VariedValue> Values, string? Folder)
{
    /// <summary>Where its report goes, in place of the job's own; null where the batch asks for none.</summary>
    public string? ReportPath { get; init; }

    /// <summary>A job as it stands.</summary>
    public static BatchEntry Of(string jobPath) => new(jobPath, jobPath, [], null);

    /// <summary>Everything but the files' content that decides what it makes.</summary>
    internal string Fingerprint =>
        string.Join('\n', Values.Where(value => !VariedSettings.IsFile(value)).Select(value => $"{value.Key}={value.Text}"));

    /// <summary>The job with its machine and process and the entry's values.</summary>
    /// <param name="readMachine">Reads a machine file.</param>
    /// <param name="readProcess">Reads a process file.</param>
    internal BuildSettings ReadSettings(Func<string?, Machine> readMachine, Func<string?, Resist> readProcess)
    {
        // Values that name files come first: they decide which machine the others change.
        var settings = new BuildSettings(JobFile.Read(JobPath), DefaultFiles.Machine, DefaultFiles.Process);
        settings = Values.Where(VariedSettings.IsFile).Aggregate(settings, (result, value) => value.Change(result));
        settings = settings with
        {
            Machine = readMachine(settings.Job.MachinePath),
            Process = readProcess(settings.Job.ProcessPath),
        };
        settings = Values.Where(value => !VariedSettings.IsFile(value)).Aggregate(settings, (result, value) => value.Change(result));
        Job job = Folder is { } folder ? settings.Job.WithOutputPaths(path => Path.Combine(folder, Path.GetFileName(path))) : settings.Job;
        return settings with { Job = job with { Report = ReportOf(job) } };
    }

    private JobReport? ReportOf(Job job)
    {
        JobReport? report = ReportPath is null ? job.Report : job.Report is { } own ? own with { Path = ReportPath } : new JobReport(ReportPath);
        return report is null ? null : report with { Variant = string.Join(", ", Values.Select(value => $"{value.Key} {value.Label}")) };
    }
}
