using System.Collections.Immutable;
using System.Text.Json;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Provenance;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Runs.Steps;

/// <summary>A job compiled for a run.</summary>
/// <param name="Steps">What is written, in its order.</param>
/// <param name="Estimate">Its times, with the current of the machine file.</param>
/// <param name="Provenance">The program's version, hashes of all inputs, every setting.</param>
internal sealed record CompiledRun(ImmutableArray<RunStep> Steps, ExposureEstimate Estimate, JsonElement Provenance)
{
    /// <summary>The whole job once, judged with the current of the machine file: what cannot be written is known before the beam is on.</summary>
    /// <param name="settings">Job, machine and process.</param>
    /// <param name="files">Where drawings come from.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Ends the work early.</param>
    /// <exception cref="CompileException">The job cannot be written.</exception>
    public static CompiledRun Of(BuildSettings settings, IBuildFiles files, DiagnosticSink sink, CancellationToken cancellation)
    {
        using var hashed = new HashedFiles(files);
        var collector = new StepCollector();
        var judge = new ExposureJudge(settings);
        var pipeline = new Pipeline(settings, hashed, sink, cancellation);
        pipeline.Run(PipelineInput.Drawings, [judge, collector]);
        ExposureEstimate estimate = pipeline.Complete(judge.ToEstimate());
        if (settings.Job.IsStrict)
        {
            pipeline.Places.Tell(() => StrayRule.Require(estimate, pipeline.Places.Before(sink)));
        }

        ExposureJudge.Report(estimate, sink);
        if (settings.Job.IsStrict)
        {
            LossCheck.Run(sink);
        }

        return new CompiledRun(RunSteps.Of(collector.Parts, settings), estimate, ProvenanceFile.CausesOf(settings, hashed.Finish()));
    }
}
