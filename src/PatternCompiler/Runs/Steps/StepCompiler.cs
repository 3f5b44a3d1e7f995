using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;

namespace PatternCompiler.Runs.Steps;

/// <summary>Makes the stream of a step with the current as it is: dwells come out of the pipeline and are never changed in bytes.</summary>
internal static class StepCompiler
{
    /// <summary>Writes the stream.</summary>
    /// <param name="step">The step.</param>
    /// <param name="beam">The beam as it is expected from now on.</param>
    /// <param name="settings">Job, machine and process.</param>
    /// <param name="target">Where it goes.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Ends the work early.</param>
    /// <exception cref="CompileException">The hardware cannot write it so.</exception>
    public static void Write(RunStep step, Beam beam, BuildSettings settings, Stream target, DiagnosticSink sink, CancellationToken cancellation)
    {
        BuildSettings now = settings with { Machine = settings.Machine with { Beam = beam } };
        var watcher = new SinkWatcher(null, OutputFormats.Create(OutputFormat.Stream, target, now.Machine, sink));
        new ExposureRun(now, [watcher], cancellation).RunFigures(step.Position, step.Figures, sink);
    }
}
