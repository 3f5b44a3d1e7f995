using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PatternCompiler.Mutants.Mutators;

/// <summary>Changes one operator of an expression or of a compound assignment.</summary>
internal static class Operators
{
    public static SyntaxToken Like(SyntaxToken original, SyntaxKind kind) =>
        SyntaxFactory.Token(original.LeadingTrivia, kind, original.TrailingTrivia);

    /// <summary>The expression or assignment statement with another operator; parsed again, because the kind of its node follows from it.</summary>
    public static SyntaxNode? Changed(SyntaxNode node, SyntaxKind from, SyntaxKind to) => node switch
    {
        BinaryExpressionSyntax binary when binary.OperatorToken.IsKind(from) =>
            SyntaxFactory.ParseExpression($"{binary.Left} {SyntaxFacts.GetText(to)} {binary.Right}"),
        ExpressionStatementSyntax { Expression: AssignmentExpressionSyntax assignment } when assignment.OperatorToken.IsKind(from) =>
            SyntaxFactory.ParseStatement($"{assignment.Left} {SyntaxFacts.GetText(to)} {assignment.Right};"),
        _ => null,
    };

    /// <summary>Both directions of a pair of operators.</summary>
    public static IEnumerable<SyntaxNode> Swapped(SyntaxNode node, params (SyntaxKind One, SyntaxKind Other)[] pairs)
    {
        foreach ((SyntaxKind one, SyntaxKind other) in pairs)
        {
            if ((Changed(node, one, other) ?? Changed(node, other, one)) is { } changed)
            {
                yield return changed;
            }
        }
    }
}
