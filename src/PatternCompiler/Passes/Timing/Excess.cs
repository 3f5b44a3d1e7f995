namespace PatternCompiler.Passes.Timing;

/// <summary>What a figure, or several, got more than they ask for because the beam could not be turned off in time.</summary>
/// <param name="Ticks">Clock ticks.</param>
/// <param name="Factor">Times as many ticks would have been enough for every stretch with the beam on; 0 if no stretch was too short.</param>
/// <param name="OffDelayTicks">Longest off-delay with which every stretch could have ended in time.</param>
internal readonly record struct Excess(long Ticks, double Factor, long OffDelayTicks)
{
    /// <summary>Nothing too much.</summary>
    public static Excess None { get; } = new(0, 0, long.MaxValue);

    /// <summary>Together with more of it.</summary>
    public Excess With(Excess more) => new(Ticks + more.Ticks, Math.Max(Factor, more.Factor), Math.Min(OffDelayTicks, more.OffDelayTicks));
}
