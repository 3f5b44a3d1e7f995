namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>What bounds the choice of line pitch and point step.</summary>
/// <param name="LargestCurrentAmperes">Largest beam current during the write.</param>
/// <param name="SmallestCurrentAmperes">Smallest beam current during the write.</param>
/// <param name="ClockHertz">Ticks per second.</param>
/// <param name="ShortestDwellTicks">Shortest dwell of one point.</param>
/// <param name="LongestDwellTicks">Longest dwell of one point.</param>
/// <param name="SpotNanometres">Spot size, full width at half maximum.</param>
/// <param name="BlurDeviationNanometres">Standard deviation of the beam in the resist, forward scattering included.</param>
internal sealed record SpacingLimits(
    double LargestCurrentAmperes,
    double SmallestCurrentAmperes,
    double ClockHertz,
    long ShortestDwellTicks,
    long LongestDwellTicks,
    double SpotNanometres,
    double BlurDeviationNanometres)
{
    /// <summary>Fastest move of the deflection on the sample; infinite for no limit.</summary>
    public double FastestNanometresPerSecond { get; init; } = double.PositiveInfinity;

    /// <summary>Time by which the beam lags behind on a line; 0 where it does not, or where that is compensated.</summary>
    public double LagSeconds { get; init; }

    /// <summary>Sustained rate of the link; infinite for no limit.</summary>
    public double LinkBytesPerSecond { get; init; } = double.PositiveInfinity;

    /// <summary>Bytes of one point on the link.</summary>
    public double BytesPerPoint { get; init; }

    /// <summary>Bytes of one line on the link, with the points at its ends; 0 where every point is sent on its own.</summary>
    public double BytesPerLine { get; init; }
}
