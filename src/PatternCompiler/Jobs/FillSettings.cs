using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Jobs;

/// <summary>How areas and lines are filled. A null value leaves the choice to the job's general fill.</summary>
/// <param name="Strategy">Lines in each figure, or a raster over the layer.</param>
/// <param name="Direction">Which way lines run.</param>
/// <param name="LinePitch">Between neighbouring lines: a length, a whole number of DAC codes, or to be chosen.</param>
/// <param name="PointStep">Between points along a line: likewise.</param>
public sealed record FillSettings(FillStrategy? Strategy, FillDirection? Direction, Spacing? LinePitch, Spacing? PointStep)
{
    /// <summary>How lines and points sit on DAC codes.</summary>
    public CodePlacement? Placement { get; init; }

    /// <summary>How often everything is written, each time with an equal part of the dose.</summary>
    public int? Passes { get; init; }

    /// <summary>Passes are rounded to codes differently.</summary>
    public bool? StaggersPasses { get; init; }

    /// <summary>Every how many lines one is written before the next round.</summary>
    public int? Interlace { get; init; }

    /// <summary>What waits for the trigger input.</summary>
    public TriggerUnit? Trigger { get; init; }

    /// <summary>Time from the trigger's edge until writing starts.</summary>
    public double? TriggerDelaySeconds { get; init; }

    /// <summary>Passes start at evenly spread times of the trigger's period.</summary>
    public bool? SpreadsPasses { get; init; }

    /// <summary>Settings that leave everything open.</summary>
    public static FillSettings Open { get; } = new(null, null, null, null);

    /// <summary>These settings, with another's wherever this one says nothing.</summary>
    public FillSettings Over(FillSettings general) => new(
        Strategy ?? general.Strategy,
        Direction ?? general.Direction,
        LinePitch ?? general.LinePitch,
        PointStep ?? general.PointStep)
    {
        Placement = Placement ?? general.Placement,
        Passes = Passes ?? general.Passes,
        StaggersPasses = StaggersPasses ?? general.StaggersPasses,
        Interlace = Interlace ?? general.Interlace,
        Trigger = Trigger ?? general.Trigger,
        TriggerDelaySeconds = TriggerDelaySeconds ?? general.TriggerDelaySeconds,
        SpreadsPasses = SpreadsPasses ?? general.SpreadsPasses,
    };
}
