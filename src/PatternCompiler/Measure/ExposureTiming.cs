namespace PatternCompiler.Measure;

/// <summary>How fast a pattern was written and what was waited for, by the settings that it was written with.</summary>
/// <param name="OffDelayMicroseconds">The off-delay that the machine file compensated; 0 without a blanker.</param>
/// <param name="OnDelayMicroseconds">The on-delay that it compensated.</param>
/// <param name="SpeedNanometresPerMicrosecond">Speed of a single line of a layer and a dose factor.</param>
/// <param name="WaitMicroseconds">Time from a jump, along x and y in nanometres, to the beam on the sample.</param>
internal sealed record ExposureTiming(
    double OffDelayMicroseconds,
    double OnDelayMicroseconds,
    Func<string, double, double> SpeedNanometresPerMicrosecond,
    Func<double, double, double> WaitMicroseconds);
