using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Prediction.Seams;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Simulating;

/// <summary>Plays an exposure with the hum of its machine, and beside it as if there were none.</summary>
internal sealed class HumComparison
{
    private readonly Hum? hum;
    private readonly double startDegrees;
    private readonly ChargeMap unmoved;

    /// <param name="machine">The machine.</param>
    /// <param name="phase">Phase of the mains when writing starts; null for 0.</param>
    /// <param name="charge">Map of the exposure with hum; one like it is kept without.</param>
    /// <param name="errors">How far the stage misses.</param>
    /// <exception cref="CompileException">A phase is asked for, and the machine states no hum.</exception>
    public HumComparison(Machine machine, Quantity? phase, ChargeMap charge, StageErrors errors)
    {
        if (machine.Hum is null && phase is not null)
        {
            throw new CompileException(
                CommandCodes.WrongUsage,
                "--mains-phase says when in the mains period writing starts, and the machine states no hum",
                new SourcePlace("patternc simulate"),
                "add 'hum' to the machine file, or leave the option out");
        }

        hum = machine.Hum;
        startDegrees = phase?.In(Unit.Degree) ?? 0;
        unmoved = charge.Empty();
        Replay = HumReplay.Of(machine, startDegrees);
        Watchers = hum is null ? [] : [new ReplayWatcher(machine, unmoved, errors, HumReplay.Without(machine))];
    }

    /// <summary>Moves the beam of the exposure.</summary>
    public HumReplay Replay { get; }

    /// <summary>What has to see the exposure, too; empty where the machine states no hum.</summary>
    public ImmutableArray<ExposureWatcher> Watchers { get; }

    /// <summary>What the hum does to a print; null where the machine states none.</summary>
    public HumEffect? EffectOn(SimulationResult moved, DrawnPattern? drawn, SimulationOptions options, CancellationToken cancellation)
    {
        if (hum is null)
        {
            return null;
        }

        var effect = new HumEffect(hum, startDegrees, Replay.ToShift());
        return drawn is null || moved.Edges is null
            ? effect
            : effect.Compare(moved.Edges, Developer.Run(unmoved, drawn, options with { MapStepNanometres = 0, Zones = [], Heights = [] }, cancellation).Edges!);
    }
}
