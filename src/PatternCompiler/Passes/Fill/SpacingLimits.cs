using PatternCompiler.Instrument;

namespace PatternCompiler.Passes.Fill;

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

    /// <summary>The same with another spot; what the beam spreads by in the resist adds in quadrature.</summary>
    public SpacingLimits WithSpot(double nanometres)
    {
        double was = SpotNanometres / SpreadFunction.HalfMaximumWidthPerDeviation, becomes = nanometres / SpreadFunction.HalfMaximumWidthPerDeviation;
        return this with
        {
            SpotNanometres = nanometres,
            BlurDeviationNanometres = Math.Sqrt(BlurDeviationNanometres * BlurDeviationNanometres - was * was + becomes * becomes),
        };
    }

    /// <summary>The same at another magnification: the deflection's speed is one in volts.</summary>
    public SpacingLimits WithField(double part) => this with { FastestNanometresPerSecond = FastestNanometresPerSecond * part };
}
