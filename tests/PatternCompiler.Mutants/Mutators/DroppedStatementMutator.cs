using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PatternCompiler.Mutants.Mutators;

/// <summary>An assignment, a step of a counter or a thrown error is forgotten.</summary>
internal sealed class DroppedStatementMutator : IMutator
{
    public string Kind => "dropped statement";

    public IEnumerable<SyntaxNode> Replacements(SyntaxNode node, SemanticModel model)
    {
        if (node is ExpressionStatementSyntax { Expression: AssignmentExpressionSyntax or PostfixUnaryExpressionSyntax or PrefixUnaryExpressionSyntax })
        {
            yield return SyntaxFactory.EmptyStatement();
        }
    }
}
