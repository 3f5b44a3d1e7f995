namespace PatternCompiler.Prediction.Estimate;

/// <summary>Where and when the controller runs out of records.</summary>
/// <param name="Record">Number of the record, 0-based.</param>
/// <param name="Figure">Number of the figure, −1 if the records carry no markers.</param>
/// <param name="XNanometres">Where the beam is.</param>
/// <param name="YNanometres">Where the beam is.</param>
/// <param name="Seconds">Time since the write began.</param>
public sealed record StallPlace(long Record, long Figure, double XNanometres, double YNanometres, double Seconds);
