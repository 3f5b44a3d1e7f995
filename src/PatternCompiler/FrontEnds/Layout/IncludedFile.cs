namespace PatternCompiler.FrontEnds.Layout;

/// <summary>An included file, opened.</summary>
/// <param name="Content">Its bytes.</param>
/// <param name="Name">Its name for messages and for includes of its own.</param>
public sealed record IncludedFile(Stream Content, string Name);
