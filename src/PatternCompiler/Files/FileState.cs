namespace PatternCompiler.Files;

/// <summary>A file as the file system knows it, links followed.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Bytes">Its size.</param>
/// <param name="ModifiedTicks">When it was last written, in ticks of 100 ns (UTC).</param>
/// <param name="Identity">The same for every name of the file and for no other file at this time.</param>
internal readonly record struct FileState(FileKind Kind, long Bytes, long ModifiedTicks, string Identity);
