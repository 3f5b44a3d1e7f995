namespace PatternCompiler.Calibration.BlankerDelay;

/// <summary>Delays of a beam blanker from the ends of lines written at several speeds.</summary>
/// <param name="OffDelay">From the line's edge until the beam is off, in microseconds: how fast the tails grow with speed.</param>
/// <param name="OnDelay">From the line's edge until the beam is on, in microseconds: how fast the missing heads grow with speed.</param>
/// <param name="TailOffset">Length of a tail at speed zero, in nanometres: spot and development, not the blanker.</param>
/// <param name="HeadOffset">Missing length at speed zero, in nanometres.</param>
public sealed record BlankerDelayFit(FitParameter OffDelay, FitParameter OnDelay, FitParameter TailOffset, FitParameter HeadOffset);
