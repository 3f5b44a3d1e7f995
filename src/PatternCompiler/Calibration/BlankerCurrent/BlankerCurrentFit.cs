using System.Collections.Immutable;

namespace PatternCompiler.Calibration.BlankerCurrent;

/// <summary>What mean currents tell of a blanker. What they do not tell is null.</summary>
/// <param name="Current">Of the beam that is on, in picoamperes.</param>
internal sealed record BlankerCurrentFit(FitParameter Current)
{
    /// <summary>Part of the current that comes through when the beam is off.</summary>
    public FitParameter? Leak { get; init; }

    /// <summary>Off delay less on delay, in microseconds; null where both are told.</summary>
    public FitParameter? Difference { get; init; }

    /// <summary>In microseconds, from when the deflection crosses the edge of the cup.</summary>
    public FitParameter? OnDelay { get; init; }

    /// <summary>Likewise.</summary>
    public FitParameter? OffDelay { get; init; }

    /// <summary>From 10 to 90 % of the current, in microseconds.</summary>
    public FitParameter? Rise { get; init; }

    /// <summary>From 90 to 10 %, in microseconds.</summary>
    public FitParameter? Fall { get; init; }

    /// <summary>Root mean square of what is left, in picoamperes.</summary>
    public double RootMeanSquarePicoamperes { get; init; }

    /// <summary>Readings and what the fit makes of each, in picoamperes.</summary>
    public ImmutableArray<(CupReading Reading, double Picoamperes)> Readings { get; init; } = [];

    /// <summary>Shortest time on and off of the readings in which the line switches, in microseconds.</summary>
    public (double On, double Off) Shortest { get; init; }
}
