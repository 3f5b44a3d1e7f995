namespace PatternCompiler.Passes.Timing;

/// <summary>What a figure, or several, got more than they ask for because the beam could not be turned off in time.</summary>
/// <param name="Ticks">Clock ticks.</param>
/// <param name="OffDelayTicks">Longest off-delay with which every stretch could have ended in time.</param>
internal readonly record struct Excess(long Ticks, long OffDelayTicks)
{
    /// <summary>Nothing too much.</summary>
    public static Excess None { get; } = new(0, long.MaxValue);

    /// <summary>Together with more of it.</summary>
    public Excess With(Excess more) => new(Ticks + more.Ticks, Math.Min(OffDelayTicks, more.OffDelayTicks));
}
