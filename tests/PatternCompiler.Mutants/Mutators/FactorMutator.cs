using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;

namespace PatternCompiler.Mutants.Mutators;

/// <summary>A factor divides, a divisor multiplies, a shift goes the other way.</summary>
internal sealed class FactorMutator : IMutator
{
    public string Kind => "factor";

    public IEnumerable<SyntaxNode> Replacements(SyntaxNode node, SemanticModel model) => Operators.Swapped(
        node,
        (SyntaxKind.AsteriskToken, SyntaxKind.SlashToken),
        (SyntaxKind.AsteriskEqualsToken, SyntaxKind.SlashEqualsToken),
        (SyntaxKind.LessThanLessThanToken, SyntaxKind.GreaterThanGreaterThanToken));
}
