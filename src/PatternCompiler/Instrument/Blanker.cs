namespace PatternCompiler.Instrument;

/// <summary>What turns the beam off.</summary>
/// <param name="IsPresent">False where the beam can never be turned off.</param>
/// <param name="ActiveHigh">The line is high to turn the beam off.</param>
/// <param name="OffDelaySeconds">From the line's edge until the beam is off; of a beam that falls slowly until one that goes off at once would have left as much charge.</param>
/// <param name="OnDelaySeconds">From the line's edge until the beam is on; of a beam that rises slowly likewise.</param>
/// <param name="LeakFraction">Part of the beam current that still reaches the sample when blanked, 0 to 1.</param>
public sealed record Blanker(bool IsPresent, bool ActiveHigh, double OffDelaySeconds, double OnDelaySeconds, double LeakFraction)
{
    /// <summary>Level of the blank line with the beam off: the one place that says so for every output.</summary>
    public BlankLevel Level => !IsPresent ? BlankLevel.NoBlanker : ActiveHigh ? BlankLevel.High : BlankLevel.Low;

    /// <summary>From 10 to 90 % of the current when the beam is turned on, ln 9 times the time constant of an exponential rise; 0 where it is on at once.</summary>
    public double RiseSeconds { get; init; }

    /// <summary>From 90 to 10 % when it is turned off.</summary>
    public double FallSeconds { get; init; }

    /// <summary>Spot of what leaks, full width at half maximum, where the beam is out of focus while it is off; 0 where it keeps its spot.</summary>
    public double LeakSpotNanometres { get; init; }

    /// <summary>What leaks is so wide that it draws no lines.</summary>
    internal bool LeaksFog => IsPresent && LeakFraction > 0 && LeakSpotNanometres > 0;

    /// <summary>Part of the beam current that reaches the place where the beam rests when blanked: a fog is none of that.</summary>
    internal double FocusedLeakFraction => IsPresent && !LeaksFog ? LeakFraction : 0;

    /// <summary>Shortest time that the beam can be off.</summary>
    public double ShortestPulseSeconds { get; init; }

    /// <summary>Dwells are corrected for the delays.</summary>
    public bool IsCompensated { get; init; }

    /// <summary>From the scan-enable line's edge until the deflection follows, at the start of writing.</summary>
    public double ScanEnableSeconds { get; init; }

    /// <summary>How long the scan-enable line stays after the last exposure.</summary>
    public double ScanDisableSeconds { get; init; }

    // The level of the line is stated in headers.
    internal SettingLine Line => new(
        "blanker",
        [
            SettingLine.Truth(IsPresent),
            OffDelaySeconds,
            OnDelaySeconds,
            LeakFraction,
            ShortestPulseSeconds,
            SettingLine.Truth(IsCompensated),
            ScanEnableSeconds,
            ScanDisableSeconds,
            .. RiseSeconds > 0 || FallSeconds > 0 ? [RiseSeconds, FallSeconds] : (ReadOnlySpan<double>)[],
        ]);
}

/// <summary>Level of the blank line with the beam off. The numbers are those of the exposure stream's header.</summary>
public enum BlankLevel : byte
{
    /// <summary>A document from before levels were stated.</summary>
    NotStated,

    /// <summary>The line is high to turn the beam off.</summary>
    High,

    /// <summary>The line is low to turn the beam off.</summary>
    Low,

    /// <summary>The machine has no blanker: the beam can never be turned off.</summary>
    NoBlanker,
}
