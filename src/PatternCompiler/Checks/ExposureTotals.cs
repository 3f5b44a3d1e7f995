namespace PatternCompiler.Checks;

/// <summary>What a records document does altogether.</summary>
/// <param name="Records">All records.</param>
/// <param name="Jumps">Jumps among them.</param>
/// <param name="Points">Exposed points.</param>
/// <param name="ExposedTicks">Ticks with the beam on.</param>
/// <param name="SettleTicks">Ticks of jumps with their settling.</param>
/// <param name="WaitTicks">Ticks of waits.</param>
/// <param name="ShortestDwellTicks">Shortest dwell of a point; 0 if there is none.</param>
public sealed record ExposureTotals(
    long Records, long Jumps, long Points, long ExposedTicks, long SettleTicks, long WaitTicks, long ShortestDwellTicks)
{
    /// <summary>Waits for a trigger, whose ticks are not known.</summary>
    public long Triggers { get; init; }

    /// <summary>Nothing so far.</summary>
    public static ExposureTotals None { get; } = new(0, 0, 0, 0, 0, 0, 0);

    /// <summary>Together with another document.</summary>
    public ExposureTotals Plus(ExposureTotals other) => new(
        Records + other.Records,
        Jumps + other.Jumps,
        Points + other.Points,
        ExposedTicks + other.ExposedTicks,
        SettleTicks + other.SettleTicks,
        WaitTicks + other.WaitTicks,
        Points == 0 ? other.ShortestDwellTicks : other.Points == 0 ? ShortestDwellTicks : Math.Min(ShortestDwellTicks, other.ShortestDwellTicks))
    {
        Triggers = Triggers + other.Triggers,
    };

    /// <summary>Ticks of everything but waits for a trigger.</summary>
    public long Ticks => ExposedTicks + SettleTicks + WaitTicks;
}
