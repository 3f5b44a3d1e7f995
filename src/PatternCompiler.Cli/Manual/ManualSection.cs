using System.Collections.Immutable;

namespace PatternCompiler.Cli.Manual;

/// <summary>A section of a manual page.</summary>
/// <param name="Heading">Its heading, in capitals.</param>
/// <param name="Blocks">What it says.</param>
internal sealed record ManualSection(string Heading, ImmutableArray<ManualBlock> Blocks);
