namespace PatternCompiler.Cli.Manual;

/// <summary>A paragraph, or a term with its meaning.</summary>
/// <param name="Term">What is explained: an option, a file, a command line; null for a plain paragraph.</param>
/// <param name="Text">The paragraph or the meaning.</param>
internal readonly record struct ManualBlock(string? Term, string Text);
