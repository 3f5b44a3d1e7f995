using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PatternCompiler.Mutants.Mutators;

/// <summary>A choice goes the other way, a part of a condition is not looked at, a guard lets everything through.</summary>
internal sealed class ConditionMutator : IMutator
{
    public string Kind => "condition";

    public IEnumerable<SyntaxNode> Replacements(SyntaxNode node, SemanticModel model)
    {
        if (node is BinaryExpressionSyntax { RawKind: (int)SyntaxKind.LogicalAndExpression or (int)SyntaxKind.LogicalOrExpression } both)
        {
            yield return both.Left;
            yield return both.Right;
        }

        if (node is BinaryExpressionSyntax equality && !IsWholeCondition(node)
            && (Operators.Changed(equality, SyntaxKind.EqualsEqualsToken, SyntaxKind.ExclamationEqualsToken)
                ?? Operators.Changed(equality, SyntaxKind.ExclamationEqualsToken, SyntaxKind.EqualsEqualsToken)) is { } other)
        {
            yield return other;
        }

        if (node is PrefixUnaryExpressionSyntax { RawKind: (int)SyntaxKind.LogicalNotExpression } not && !IsWholeCondition(node))
        {
            yield return not.Operand;
        }

        if (IsWholeCondition(node))
        {
            yield return IsGuard(node)
                ? SyntaxFactory.LiteralExpression(SyntaxKind.FalseLiteralExpression)
                : SyntaxFactory.ParseExpression($"!({node})");
        }
    }

    private static bool IsWholeCondition(SyntaxNode node) => node.Parent switch
    {
        IfStatementSyntax choice => choice.Condition == node,
        ConditionalExpressionSyntax choice => choice.Condition == node,
        _ => false,
    };

    private static bool IsGuard(SyntaxNode node) =>
        node.Parent is IfStatementSyntax { Else: null } choice
        && (choice.Statement is BlockSyntax block ? block.Statements.LastOrDefault() : choice.Statement) is ThrowStatementSyntax or ReturnStatementSyntax or ContinueStatementSyntax;
}
