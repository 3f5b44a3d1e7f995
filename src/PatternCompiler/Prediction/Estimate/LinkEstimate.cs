using System.Text.Json.Serialization;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>Whether the link keeps the controller supplied.</summary>
/// <param name="GivenBytesPerSecond">Rate of the link.</param>
/// <param name="BufferBytes">The controller's buffer.</param>
/// <param name="MeanBytesPerSecond">Rate needed on average.</param>
/// <param name="BusiestBytesPerSecond">Rate needed in the busiest part of as many blocks as the buffer holds; 0 if there are no more than that.</param>
/// <param name="Stalls">How often the controller waits for a block of records; it blanks and stops each time.</param>
/// <param name="StallSeconds">Time lost to that.</param>
/// <param name="LongestStallSeconds">Longest wait for a single block.</param>
/// <param name="FirstStall">Where it happens first, or null.</param>
/// <param name="WorstStall">Where the wait is longest, or null.</param>
public sealed record LinkEstimate(
    [property: JsonPropertyOrder(-1)] double GivenBytesPerSecond,
    long BufferBytes,
    [property: JsonPropertyOrder(-1)] double MeanBytesPerSecond,
    [property: JsonPropertyOrder(-1)] double BusiestBytesPerSecond,
    long Stalls,
    [property: JsonIgnore] double StallSeconds,
    double LongestStallSeconds,
    StallPlace? FirstStall,
    StallPlace? WorstStall);

/// <summary>Where and when the controller runs out of records: what the block that it waits for begins with.</summary>
/// <param name="Record">Number of the record, 0-based.</param>
/// <param name="Figure">Number of the figure, −1 if the records carry no markers.</param>
/// <param name="XNanometres">Where the beam is at the end of that record.</param>
/// <param name="YNanometres">Where the beam is at the end of that record.</param>
/// <param name="Seconds">Time since the write began.</param>
public sealed record StallPlace(long Record, long Figure, double XNanometres, double YNanometres, [property: JsonPropertyOrder(-1)] double Seconds)
{
    /// <summary>Its write field; null where everything is written from one position.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public string? Field { get; init; }
}
