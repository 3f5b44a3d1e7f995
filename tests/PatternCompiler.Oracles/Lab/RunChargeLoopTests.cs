using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Runs.Steps;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using Xunit.Abstractions;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// Nine squares through a night in which the beam loses a fifth of its current: each is made with the current that was read before it, and
/// must get its charge.
/// </summary>
public sealed class RunChargeLoopTests(ITestOutputHelper console)
{
    private const int UsualSeeds = 3;
    private const double LargestError = 0.01;
    private const double HoldSeconds = 20;
    private const int ReadingsAtOnce = 5;
    private const double SideMicrometres = 10;
    private const double DoseMicrocoulombs = 8000;

    [Fact]
    public void Every_square_of_a_night_gets_its_charge() => LabLoop.Run(console, UsualSeeds, Loop);

    private static (string Found, bool IsRight) Loop(long seed)
    {
        var dice = new Dice(seed, "night");
        LabTruth truth = LabTruth.Draw(seed, new LabSetup { Faults = LabFaults.None, CurrentPicoamperes = 100 });
        truth = truth with { Column = truth.Column with { CurrentPicoamperes = 100, LossPerSecond = dice.Between(1.8e-4, 2.4e-4) } };
        using var folder = new TemporaryFolder();
        folder.Write("machine.yaml", "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}\ndeflection: {field: 100 um, invert_y: yes}\nsettle: {fixed: 15 us}\n"
            + "clock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 16777215 ticks}\nblanker: {active: high}\n"
            + "beam: {current: 100 pA, later: {after: 900 s, current: 84 pA}, spot: 20 nm, energy: 30 keV}\nlink: {rate: 8 MB/s, buffer: 64 KiB}\n");
        folder.Write("process.yaml", FormattableString.Invariant($"process: p\ndose: {{area: {DoseMicrocoulombs} uC/cm2, line: 1 nC/cm, dot: 10 fC}}\nresist: {{onset: 50 uC/cm2, clearing: 100 uC/cm2}}\n"));
        folder.Write("square.layout", FormattableString.Invariant($"layout 1\nunit um\nlayer a\nrect on a from (0, 0) to ({SideMicrometres}, {SideMicrometres})\n"));
        folder.Write("job.yaml", "job: night\nmachine: machine.yaml\nprocess: process.yaml\nsources: [square.layout]\nfill: {strategy: raster, line_pitch: 100 nm, point_step: 100 nm}\nrun: {readings: current, current_within: 30 %, copies: ["
            + string.Join(", ", Enumerable.Range(0, 9).Select(i => FormattableString.Invariant($"{{at: [{15 * (i % 3) - 20} um, {15 * (i / 3) - 20} um]}}"))) + "]}\n");
        var settings = BuildSettings.Read(JobFile.Read(folder["job.yaml"]));
        var collector = new StepCollector();
        new Pipeline(settings, new DiskFiles(), new DiagnosticSink(), CancellationToken.None).Run(PipelineInput.Drawings, [collector]);
        ImmutableArray<RunStep> steps = RunSteps.Of(collector.Parts, settings);

        // Without readings the machine file's own guess is all that there is.
        (double worst, double end) = Night(steps, settings, new Laboratory(truth), dice, reads: true);
        (double unread, _) = Night(steps, settings, new Laboratory(truth), dice, reads: false);
        return (
            FormattableString.Invariant($"current falls to {truth.Column.CurrentAt(end):0.0} pA in {end:0} s; largest error of a square's charge {100 * worst:0.00} %, without readings {100 * unread:0.0} %"),
            worst < LargestError && steps.Length == 9);
    }

    private static (double Worst, double EndSeconds) Night(ImmutableArray<RunStep> steps, BuildSettings settings, Laboratory lab, Dice dice, bool reads)
    {
        DateTime begin = new(2026, 3, 1, 22, 0, 0, DateTimeKind.Utc);
        var readings = new BeamReadings(settings.Machine.Beam.CurrentAmperes, settings.Job.Run.CurrentWithin);
        double wanted = DoseMicrocoulombs * SideMicrometres * SideMicrometres * 1e-8 * 1e9, worst = 0, time = 0;
        foreach (RunStep step in steps)
        {
            time += HoldSeconds;
            if (reads)
            {
                readings.Add(begin.AddSeconds(time), Enumerable.Range(0, ReadingsAtOnce).Average(_ => lab.CurrentReading(time, dice)) * 1e-12);
            }

            using var bytes = new MemoryStream();
            StepCompiler.Write(step, readings.From(begin.AddSeconds(time), settings.Machine.Beam), settings, bytes, new DiagnosticSink(), CancellationToken.None);
            Sample written = lab.WriteAt(DecodedExposure.Read(bytes.ToArray()), time, out time);
            worst = Math.Max(worst, Math.Abs(written.Deposits.TotalFemtocoulombs / wanted - 1));
        }

        return (worst, time);
    }
}
