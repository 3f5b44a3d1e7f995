using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PatternCompiler.Mutants.Mutators;

/// <summary>A step of one is forgotten: <c>n - 1</c> becomes <c>n</c>.</summary>
internal sealed class OffByOneMutator : IMutator
{
    public string Kind => "off by one";

    public IEnumerable<SyntaxNode> Replacements(SyntaxNode node, SemanticModel model)
    {
        if (node is BinaryExpressionSyntax binary && IsStep(binary.Right))
        {
            yield return binary.Left;
        }
    }

    /// <summary>Whether a literal is the one of <c>n + 1</c> or <c>n - 1</c>.</summary>
    public static bool IsStep(SyntaxNode node) =>
        node is LiteralExpressionSyntax { Token.Value: 1 or 1L }
        && node.Parent is BinaryExpressionSyntax { RawKind: (int)SyntaxKind.AddExpression or (int)SyntaxKind.SubtractExpression } sum && sum.Right == node;
}
