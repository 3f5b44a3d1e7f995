using PatternCompiler.Diagnostics;

namespace PatternCompiler.Jobs;

/// <summary>One file that a build makes.</summary>
/// <param name="Path">Where it goes.</param>
/// <param name="Format">What it holds.</param>
public sealed record JobOutput(string Path, OutputFormat Format)
{
    /// <summary>Where the job says it in a word of the version before; null if it does not.</summary>
    internal SourcePlace? OldWord { get; init; }
}
