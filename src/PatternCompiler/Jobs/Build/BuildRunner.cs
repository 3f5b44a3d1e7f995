using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Provenance;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Jobs.Traces;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Reports;
using PatternCompiler.Reports.Html;

namespace PatternCompiler.Jobs.Build;

/// <summary>
/// Runs the whole pipeline of one job. Strokes and records stream from stage to stage into the outputs and are never
/// held; every document is checked on its way. Outputs get their names when everything has succeeded.
/// </summary>
public static class BuildRunner
{
    /// <summary>Builds a job.</summary>
    /// <param name="settings">Job, machine and process.</param>
    /// <param name="files">Where drawings come from and outputs go.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the build; no output is left.</param>
    /// <exception cref="CompileException">Something is wrong with the input; no output is left.</exception>
    public static BuildSummary Run(BuildSettings settings, IBuildFiles files, DiagnosticSink sink, CancellationToken cancellation)
    {
        (Job job, var machine, var process) = settings;
        if (job.Sources.IsEmpty)
        {
            throw new CompileException(
                JobCodes.NoSource, $"the job '{job.Name}' names no drawing", default, "list them under 'sources' in the job file");
        }

        RefuseClashes(job);
        foreach (JobOutput output in job.Outputs)
        {
            if (output.OldWord is { } place)
            {
                sink.Note(CommandCodes.OldWord, $"'{OutputFormats.OldMotionWord}' is now '{OutputFormats.ContentOf(output.Format).Word}'; the old word goes with the next version", place);
            }
        }

        bool isDocumented = job.Report is not null || job.ProvenancePath is not null;
        using HashedFiles? hashed = isDocumented ? new HashedFiles(files) : null;
        files = hashed ?? files;
        using var outputs = new BuildOutputs(files, hashes: isDocumented || job.Fields is not null || job.PlacesPath is not null);
        TraceWatcher? trace = job.PlacesPath is null ? null : new TraceWatcher(outputs);
        var judge = new ExposureJudge(settings);
        BuildReport? report = job.Report is null ? null : new BuildReport(settings);
        List<ExposureWatcher> watchers = [judge, new DocumentFiles(settings, outputs, sink)];
        if (report is not null)
        {
            watchers.Add(report);
        }

        if (trace is not null)
        {
            watchers.Add(trace);
        }

        // Last: it lists what was made for a field.
        if (job.Fields is not null)
        {
            watchers.Add(new ManifestWatcher(settings, outputs));
        }

        var pipeline = new Pipeline(settings, files, sink, cancellation);
        (FigureTotals? figures, ProximityReport? correction) = pipeline.Run(PipelineInput.Drawings, watchers);
        ExposureEstimate estimate = pipeline.Complete(judge.ToEstimate());
        if (job.IsStrict)
        {
            pipeline.Places.Tell(() => StrayRule.Require(estimate, pipeline.Places.Before(sink)));
        }

        ExposureJudge.Report(estimate, sink);
        if (job.IsStrict)
        {
            LossCheck.Run(sink);
        }

        var summary = new BuildSummary(
            job.Name, machine.Name, process.Name, figures!, correction, judge.StrokeTotals, judge.RecordTotals, estimate, outputs.Files);
        if (trace is not null)
        {
            TraceFile.Write(trace.ToTrace(pipeline.Places.Drawing!), outputs.Create(job.PlacesPath!, "places", isBinary: false));
            summary = summary with { Files = outputs.Files };
        }

        IReadOnlyList<ReportFile> read = hashed?.Finish() ?? [];
        if (report is not null)
        {
            ReportContent content = report.ToContent(summary, read, sink.Collected, pipeline.Places, cancellation);
            ReportPage.Write(content, outputs.Create(job.Report!.Path, "report", isBinary: false));
            summary = summary with { Files = outputs.Files, Print = content.Prediction?.Print };
        }

        if (job.ProvenancePath is { } path)
        {
            ProvenanceFile.Write(settings, summary, read, sink.Collected, outputs.Create(path, "provenance", isBinary: false));
            summary = summary with { Files = outputs.Files };
        }

        outputs.Commit();
        return summary;
    }

    /// <summary>The job file has been looked at already; here the command line may have changed what it says.</summary>
    private static void RefuseClashes(Job job)
    {
        string[] read = [.. job.SettingsFiles.Select(file => file.Path), .. job.Sources.Select(source => source.Path)];
        if (OutputClash.Find(read.Where(path => path != "-"), job.OutputPaths.Where(path => path != "-")) is { } clash)
        {
            throw new CompileException(
                JobCodes.OutputClash,
                clash.IsInput ? $"the output '{clash.Output}' would overwrite '{clash.Other}', which the job reads" : $"the outputs '{clash.Output}' and '{clash.Other}' are one file",
                new SourcePlace(job.File),
                "choose another name");
        }
    }
}
