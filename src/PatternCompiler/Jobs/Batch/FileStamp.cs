namespace PatternCompiler.Jobs.Batch;

/// <summary>A file as it was at one moment.</summary>
/// <param name="Path">The file.</param>
/// <param name="Bytes">Its size.</param>
/// <param name="ModifiedTicks">When it was last written, in ticks of 100 ns (UTC).</param>
/// <param name="Hash">SHA-256 of its content, in hexadecimal.</param>
internal sealed record FileStamp(string Path, long Bytes, long ModifiedTicks, string Hash);
