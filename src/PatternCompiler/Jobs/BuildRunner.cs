using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Reports;
using PatternCompiler.Reports.Html;

namespace PatternCompiler.Jobs;

/// <summary>
/// Runs the whole pipeline of one job. Strokes and records stream from stage to stage into the outputs and are never
/// held; every document is checked on its way. Outputs get their names when everything has succeeded.
/// </summary>
public static class BuildRunner
{
    private const int FiguresAtOnce = 4096;

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
        using HashedFiles? hashed = job.Report is null ? null : new HashedFiles(files);
        files = hashed ?? files;
        using var outputs = new BuildOutputs(files, hashes: job.Report is not null || job.Fields is not null);
        LayoutDocument layout = LayoutStage.Run(job, files, sink, cancellation);
        IReadOnlyList<ReportFile> read = hashed?.Finish() ?? [];
        if (job.Keep.Layout is string layoutPath)
        {
            LayoutWriter.Write(layout, outputs.Create(layoutPath, "layout", isBinary: false));
        }

        FlatLayout flat = FlattenPass.Run(layout, StageOptions.Flatten(job), sink, cancellation);
        BuildReport? report = job.Report is null ? null : new BuildReport(settings, flat);
        FiguresDocument figures = FracturePass.Run(flat, StageOptions.Fracture(job), sink, cancellation);
        ProximityReport? correction = null;
        if (StageOptions.Correction(job, machine, process) is ProximityOptions proximity)
        {
            SpreadCheck.Run(process, machine.Beam.EnergyElectronvolts, sink);
            (figures, correction) = ProximityPass.Run(figures, proximity, sink, cancellation);
        }

        FieldOptions? fields = StageOptions.Fields(job, machine);
        if (fields is null)
        {
            FieldCheck.Run(figures, new DacMapping(machine.Dac, machine.Deflection));
        }

        var figuresChecker = new FiguresChecker(FiguresSink(job, outputs));
        Send(figures, figuresChecker, cancellation);
        BuiltExposure exposure = fields is not null
            ? FieldBuild.Run(settings, FieldPass.Run(figures, fields, sink, cancellation), outputs, report, sink, cancellation)
            : ExposureBuild.Run(settings, figures, outputs, report, sink, cancellation);
        if (job.IsStrict)
        {
            StrayRule.Require(exposure.Estimate, sink);
        }

        foreach (Diagnostic warning in exposure.Estimate.Warnings)
        {
            sink.Warn(warning.Code, warning.Message, warning.Place, warning.Fix);
        }

        var summary = new BuildSummary(
            job.Name,
            machine.Name,
            process.Name,
            figuresChecker.Totals,
            correction,
            exposure.Strokes,
            exposure.Records,
            exposure.Estimate,
            outputs.Files);
        if (report is not null)
        {
            ReportContent content = report.ToContent(summary, read, sink.Collected, cancellation);
            ReportPage.Write(content, outputs.Create(job.Report!.Path, "report", isBinary: false));
            summary = summary with { Files = outputs.Files };
        }

        outputs.Commit();
        return summary;
    }

    /// <summary>The job file has been looked at already; here the command line may have changed what it says.</summary>
    private static void RefuseClashes(Job job)
    {
        string[] read = [.. new[] { job.File, job.MachinePath, job.ProcessPath }.OfType<string>(), .. job.Sources.Select(source => source.Path)];
        if (OutputClash.Find(read.Where(path => path != "-"), job.OutputPaths.Where(path => path != "-")) is { } clash)
        {
            throw new CompileException(
                JobCodes.OutputClash,
                clash.IsInput ? $"the output '{clash.Output}' would overwrite '{clash.Other}', which the job reads" : $"the outputs '{clash.Output}' and '{clash.Other}' are one file",
                new SourcePlace(job.File),
                "choose another name");
        }
    }

    private static IDocumentSink<FiguresHeader, Figure>? FiguresSink(Job job, BuildOutputs outputs)
    {
        if (job.Keep.Figures is not string path)
        {
            return null;
        }

        Stream stream = outputs.Create(path, "figures", job.Keep.Binary);
        return job.Keep.Binary ? new FiguresBinaryWriter(stream) : new FiguresTextWriter(stream);
    }

    private static void Send(FiguresDocument document, FiguresChecker target, CancellationToken cancellation)
    {
        target.Begin(document.Header);
        var batch = new Figure[Math.Min(FiguresAtOnce, document.Figures.Count)];
        for (int start = 0; start < document.Figures.Count; start += batch.Length)
        {
            cancellation.ThrowIfCancellationRequested();
            int count = Math.Min(batch.Length, document.Figures.Count - start);
            for (int i = 0; i < count; i++)
            {
                batch[i] = document.Figures[start + i];
            }

            target.Write(batch.AsSpan(0, count));
        }

        target.End();
    }
}
