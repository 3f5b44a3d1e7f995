using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PatternCompiler.Mutants.Placing;

/// <summary>
/// Writes the switches into a tree: <c>(On(n) ? changed : original)</c> for an expression, <c>if (On(n)) changed; else original</c>
/// for a statement. Only one mutant is on at a time, so what is changed holds no further switch.
/// </summary>
internal sealed class SwitchWriter(ILookup<SyntaxNode, PlacedMutant> mutants) : CSharpSyntaxRewriter
{
    /// <summary>Marks the code of a switch with the mutant's number, to find who does not compile.</summary>
    public const string Mark = "mutant";

    private const string On = "global::PatternCompiler.Mutants.Placing.MutantSwitch.On";

    public override SyntaxNode? Visit(SyntaxNode? node)
    {
        SyntaxNode? visited = base.Visit(node);
        if (node is null || visited is null || !mutants.Contains(node))
        {
            return visited;
        }

        foreach (PlacedMutant placed in mutants[node])
        {
            ExpressionSyntax isOn = SyntaxFactory.ParseExpression($"{On}({placed.Mutant.Number})");
            var mark = new SyntaxAnnotation(Mark, placed.Mutant.Number.ToString());
            visited = visited switch
            {
                ExpressionSyntax original => SyntaxFactory.ParenthesizedExpression(SyntaxFactory.ConditionalExpression(
                    isOn, SyntaxFactory.ParenthesizedExpression((ExpressionSyntax)placed.Replacement.WithoutTrivia()), SyntaxFactory.ParenthesizedExpression(original.WithoutTrivia())))
                    .WithTriviaFrom(node).WithAdditionalAnnotations(mark),
                StatementSyntax original => SyntaxFactory.IfStatement(
                    isOn, SyntaxFactory.Block((StatementSyntax)placed.Replacement.WithoutTrivia()), SyntaxFactory.ElseClause(SyntaxFactory.Token(SyntaxKind.ElseKeyword).WithTrailingTrivia(SyntaxFactory.Space), SyntaxFactory.Block(original.WithoutTrivia())))
                    .WithTriviaFrom(node).WithAdditionalAnnotations(mark),
                _ => visited,
            };
        }

        return visited;
    }
}
