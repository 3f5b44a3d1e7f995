namespace PatternCompiler.Instrument;

/// <summary>The connection to the controller.</summary>
/// <param name="BytesPerSecond">Sustained rate towards the controller.</param>
/// <param name="BufferBytes">
/// Bytes that the controller holds, those of the block being written among them; it takes as many blocks of a stream as fit when
/// each has the largest size, and at least one.
/// </param>
/// <param name="InterpolatesLines">The controller takes line records; otherwise every point is sent.</param>
public sealed record Link(double BytesPerSecond, long BufferBytes, bool InterpolatesLines);
