namespace PatternCompiler.Prediction.Estimate;

/// <summary>The record that a block of the stream begins with.</summary>
/// <param name="Record">Its number, 0-based.</param>
/// <param name="Figure">Number of the figure it belongs to, −1 if unknown.</param>
/// <param name="XNanometres">Where the beam is at its end.</param>
/// <param name="YNanometres">Where the beam is at its end.</param>
internal readonly record struct BlockStart(long Record, long Figure, double XNanometres, double YNanometres);
