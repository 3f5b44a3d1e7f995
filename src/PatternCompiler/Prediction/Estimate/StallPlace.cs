using System.Text.Json.Serialization;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>Where and when the controller runs out of records: what the block that it waits for begins with.</summary>
/// <param name="Record">Number of the record, 0-based.</param>
/// <param name="Figure">Number of the figure, −1 if the records carry no markers.</param>
/// <param name="XNanometres">Where the beam is at the end of that record.</param>
/// <param name="YNanometres">Where the beam is at the end of that record.</param>
/// <param name="Seconds">Time since the write began.</param>
public sealed record StallPlace(long Record, long Figure, double XNanometres, double YNanometres, [property: JsonPropertyOrder(-1)] double Seconds);
