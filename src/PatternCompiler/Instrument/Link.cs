namespace PatternCompiler.Instrument;

/// <summary>The connection to the controller.</summary>
/// <param name="BytesPerSecond">Sustained rate.</param>
/// <param name="BufferBytes">Bytes that the controller buffers ahead.</param>
/// <param name="InterpolatesLines">The controller takes line records; otherwise every point is sent.</param>
public sealed record Link(double BytesPerSecond, long BufferBytes, bool InterpolatesLines);
