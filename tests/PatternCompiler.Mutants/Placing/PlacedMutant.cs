using Microsoft.CodeAnalysis;

namespace PatternCompiler.Mutants.Placing;

/// <summary>A mutant and the code that its switch chooses in place of <paramref name="Original"/>.</summary>
internal sealed record PlacedMutant(Mutant Mutant, SyntaxNode Original, SyntaxNode Replacement);
