namespace PatternCompiler.Instrument;

/// <summary>The connection to the controller.</summary>
/// <param name="BytesPerSecond">Sustained rate towards the controller.</param>
/// <param name="BufferBytes">
/// Bytes that the controller holds, those of the block being written among them; it takes as many blocks of a stream as fit when
/// each has the largest size, and at least one.
/// </param>
/// <param name="InterpolatesLines">The controller takes line records; otherwise every point is sent.</param>
public sealed record Link(double BytesPerSecond, long BufferBytes, bool InterpolatesLines)
{
    /// <summary>Round trip: from the moment when a block's room is free until the first byte of the block that is sent for it comes.</summary>
    public double LatencySeconds { get; init; }

    /// <summary>Blocks that the controller holds, whatever their size, where it counts blocks; 0 where it counts bytes.</summary>
    public long Blocks { get; init; }
}
