using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PatternCompiler.Mutants.Mutators;

/// <summary>A call for its effect is forgotten.</summary>
internal sealed class DroppedCallMutator : IMutator
{
    public string Kind => "dropped call";

    public IEnumerable<SyntaxNode> Replacements(SyntaxNode node, SemanticModel model)
    {
        if (node is ExpressionStatementSyntax { Expression: InvocationExpressionSyntax or ConditionalAccessExpressionSyntax })
        {
            yield return SyntaxFactory.EmptyStatement();
        }
    }
}
