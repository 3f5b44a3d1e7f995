namespace PatternCompiler.Instrument;

/// <summary>What turns the beam off.</summary>
/// <param name="IsPresent">False where the beam can never be turned off.</param>
/// <param name="ActiveHigh">The line is high to turn the beam off.</param>
/// <param name="OffDelaySeconds">From the line's edge until the beam is off.</param>
/// <param name="OnDelaySeconds">From the line's edge until the beam is on.</param>
/// <param name="LeakFraction">Part of the beam current that still reaches the sample when blanked, 0 to 1.</param>
public sealed record Blanker(bool IsPresent, bool ActiveHigh, double OffDelaySeconds, double OnDelaySeconds, double LeakFraction);
