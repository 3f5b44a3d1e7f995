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
