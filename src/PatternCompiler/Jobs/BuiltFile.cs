namespace PatternCompiler.Jobs;

/// <summary>One file that a build has made.</summary>
/// <param name="Path">Its name.</param>
/// <param name="Content">What it holds, e.g. "stream" or "figures".</param>
/// <param name="Bytes">Its size.</param>
public sealed record BuiltFile(string Path, string Content, long Bytes)
{
    /// <summary>SHA-256 of its content in hexadecimal, where the build's report asks for it.</summary>
    public string? Hash { get; init; }
}
