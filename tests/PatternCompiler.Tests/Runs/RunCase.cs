using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Runs.Steps;
using PatternCompiler.Tests.Jobs;

namespace PatternCompiler.Tests.Runs;

/// <summary>A job and what its run is divided into.</summary>
internal static class RunCase
{
    public const string Machine =
        "machine: bench\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}\ndeflection: {field: 100 um}\nsettle: {fixed: 20 us}\n"
        + "clock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\n"
        + "link: {rate: 8 MB/s, buffer: 64 KiB}\n";

    public const string Stage = "stage: {speed: 100 um/s, settle: 1 s, step: 1 um, rotation: 90 deg, approach: [10 um, 5 um], height: {focus: 10 mm, scale_per_mm: 1 %}}\n";

    private const string Process = "process: thin\ndose: {area: 200 uC/cm2, line: 1 nC/cm, dot: 10 fC}\nresist: {onset: 50 uC/cm2, clearing: 100 uC/cm2}\n";

    public static BuildSettings Settings(string job, string machine = Machine, string process = Process) => new(
        JobFile.Parse("job: j\nsources: [a.layout]\nfill: {strategy: raster, line_pitch: 100 nm, point_step: 100 nm}\n" + job, "job.yaml"),
        MachineFile.Parse(machine, "machine.yaml"),
        ProcessFile.Parse(process, "process.yaml"));

    public static ImmutableArray<RunStep> Steps(BuildSettings settings, string drawing)
    {
        var collector = new StepCollector();
        new Pipeline(settings, new MemoryFiles().With("a.layout", "layout 1\nunit um\nlayer a\nlayer b\nlayer c\n" + drawing), new DiagnosticSink(), CancellationToken.None).Run(PipelineInput.Drawings, [collector]);
        return RunSteps.Of(collector.Parts, settings);
    }

    /// <summary>Everything as a negative resist on a machine in another way.</summary>
    public static string Negative => Process.Replace("onset: 50 uC/cm2, clearing", "tone: negative, gel: 50 uC/cm2, retention", StringComparison.Ordinal);
}
