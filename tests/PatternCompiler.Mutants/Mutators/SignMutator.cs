using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PatternCompiler.Mutants.Mutators;

/// <summary>A sum becomes a difference and the other way round; a minus sign or a magnitude is lost.</summary>
internal sealed class SignMutator : IMutator
{
    public string Kind => "sign";

    public IEnumerable<SyntaxNode> Replacements(SyntaxNode node, SemanticModel model)
    {
        foreach (SyntaxNode changed in Operators.Swapped(
            node, (SyntaxKind.PlusToken, SyntaxKind.MinusToken), (SyntaxKind.PlusEqualsToken, SyntaxKind.MinusEqualsToken)))
        {
            yield return changed;
        }

        if (node is PrefixUnaryExpressionSyntax { RawKind: (int)SyntaxKind.UnaryMinusExpression } negative)
        {
            yield return negative.Operand;
        }

        if (node is InvocationExpressionSyntax { ArgumentList.Arguments: [var only] } call && call.Expression.ToString() is "Math.Abs" or "long.Abs" or "int.Abs" or "double.Abs" or "Int128.Abs")
        {
            yield return ((InvocationExpressionSyntax)node).ArgumentList.Arguments[0].Expression;
        }
    }
}
