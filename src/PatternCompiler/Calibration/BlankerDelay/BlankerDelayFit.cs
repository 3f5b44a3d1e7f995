namespace PatternCompiler.Calibration.BlankerDelay;

/// <summary>Delays of a beam blanker from the ends of lines written at several speeds.</summary>
/// <param name="OffDelay">From the line's edge until the beam is off, in microseconds: how fast the tails grow with speed.</param>
/// <param name="OnDelay">From the line's edge until the beam is on, in microseconds: how fast the missing heads grow with speed.</param>
/// <param name="TailOffset">Length of a tail at speed zero, in nanometres: spot and development, not the blanker.</param>
/// <param name="HeadOffset">Missing length at speed zero, in nanometres.</param>
internal sealed record BlankerDelayFit(FitParameter OffDelay, FitParameter OnDelay, FitParameter TailOffset, FitParameter HeadOffset)
{
    /// <summary>Speeds beyond the two that a line needs.</summary>
    public int DegreesOfFreedom { get; init; }

    /// <summary>Covariance of off delay and tail offset, in µs·nm.</summary>
    public double TailCovariance { get; init; }

    /// <summary>Covariance of on delay and head offset, in the same unit.</summary>
    public double HeadCovariance { get; init; }

    /// <summary>
    /// Half width of the 95% confidence band of a fitted length in nanometres at a speed in nm/µs; not a number without a spare
    /// measurement.
    /// </summary>
    internal double BandHalfWidth(FitParameter delay, FitParameter offset, double covariance, double speed) =>
        ConfidenceInterval.HalfWidths(DegreesOfFreedom) * Math.Sqrt(
            offset.StandardError * offset.StandardError + 2 * speed * covariance + speed * speed * delay.StandardError * delay.StandardError);
}
