using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PatternCompiler.Mutants.Mutators;

/// <summary>A comparison that includes its bound excludes it, and the other way round.</summary>
internal sealed class BoundaryMutator : IMutator
{
    public string Kind => "boundary";

    public IEnumerable<SyntaxNode> Replacements(SyntaxNode node, SemanticModel model)
    {
        if (node is BinaryExpressionSyntax binary && Other(binary.OperatorToken.Kind()) is var token && token != SyntaxKind.None)
        {
            yield return SyntaxFactory.ParseExpression($"{binary.Left} {SyntaxFacts.GetText(token)} {binary.Right}");
        }

        if (node is IsPatternExpressionSyntax test && !test.DescendantNodes().Any(n => n is VariableDesignationSyntax))
        {
            foreach (RelationalPatternSyntax relation in test.Pattern.DescendantNodesAndSelf().OfType<RelationalPatternSyntax>())
            {
                SyntaxToken bound = Operators.Like(relation.OperatorToken, Other(relation.OperatorToken.Kind()));
                yield return test.ReplaceNode(relation, relation.WithOperatorToken(bound));
            }
        }
    }

    private static SyntaxKind Other(SyntaxKind kind) => kind switch
    {
        SyntaxKind.LessThanToken => SyntaxKind.LessThanEqualsToken,
        SyntaxKind.LessThanEqualsToken => SyntaxKind.LessThanToken,
        SyntaxKind.GreaterThanToken => SyntaxKind.GreaterThanEqualsToken,
        SyntaxKind.GreaterThanEqualsToken => SyntaxKind.GreaterThanToken,
        _ => SyntaxKind.None,
    };
}
