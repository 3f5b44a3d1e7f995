namespace PatternCompiler.Prediction.Waveforms;

/// <summary>How a measured trace differs from what is expected.</summary>
/// <param name="Line">The line, in words.</param>
/// <param name="Channel">Name of the channel.</param>
/// <param name="DelaySeconds">How much later the trace is than the exposure's time says.</param>
/// <param name="Gain">Volts measured for a volt expected; for a level, volts between low and high.</param>
/// <param name="OffsetVolts">Volts measured where none is expected.</param>
/// <param name="RmsVolts">Root mean square of what delay, gain and offset leave.</param>
/// <param name="LargestVolts">Largest of it.</param>
/// <param name="LongestDisagreementSeconds">Longest stretch in which it is more than three times the root mean square; 0 for none.</param>
/// <param name="DisagreementStartsSeconds">Where that stretch begins, in the exposure's time.</param>
/// <param name="Samples">Samples that were compared.</param>
internal sealed record TraceComparison(
    string Line,
    string Channel,
    double DelaySeconds,
    double Gain,
    double OffsetVolts,
    double RmsVolts,
    double LargestVolts,
    double LongestDisagreementSeconds,
    double DisagreementStartsSeconds,
    int Samples);
