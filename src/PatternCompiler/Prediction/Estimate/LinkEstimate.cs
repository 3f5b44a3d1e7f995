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
    StallPlace? WorstStall)
{
    /// <summary>From a room's being free to the first byte of the block that is sent for it.</summary>
    [JsonPropertyOrder(-1)]
    public double RoundTripSeconds { get; init; }

    /// <summary>Blocks that the controller holds, the one being written among them.</summary>
    public long Blocks { get; init; }

    /// <summary>How often it waits with the beam on before and after: the beam goes off within a figure. The other stalls cost time alone.</summary>
    public long StallsAmidExposure { get; init; }

    /// <summary>Time lost to these.</summary>
    public double StallSecondsAmidExposure { get; init; }

    /// <summary>The first of these, or null.</summary>
    public StallPlace? FirstStallAmidExposure { get; init; }

    /// <summary>Fewest blocks, of 1, 2, 3, 4, 6, 8, 12 … 4096, with which it never waits amid exposure; null where none of them is enough.</summary>
    public long? NeededBlocks { get; init; }

    /// <summary>Bytes of a buffer that holds <see cref="NeededBlocks"/>.</summary>
    public long? NeededBufferBytes { get; init; }

    /// <summary>
    /// A rate, of 1, 1.5, 2, 3, 4, 6, 8, 12 and 16 times the link's, at which it never waits amid exposure with the buffer as it is; null where
    /// none of them is enough.
    /// </summary>
    [JsonPropertyOrder(-1)]
    public double? NeededBytesPerSecond { get; init; }

    /// <summary>A faster link with a larger buffer with which it never waits amid exposure, for where neither alone is enough; null where none that was tried is.</summary>
    [JsonIgnore]
    public (double BytesPerSecond, long Blocks)? NeededTogether { get; init; }
}

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
