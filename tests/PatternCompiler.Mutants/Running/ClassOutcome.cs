namespace PatternCompiler.Mutants.Running;

/// <summary>How the tests of a class went.</summary>
/// <param name="Failed">The first test that failed, or null.</param>
internal sealed record ClassOutcome(string? Failed, long Milliseconds);
