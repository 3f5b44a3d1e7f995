using System.Globalization;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PatternCompiler.Mutants.Mutators;

/// <summary>A number is one more, a fraction twice as much, a truth value the other, a named constant one more.</summary>
internal sealed class ConstantMutator : IMutator
{
    public string Kind => "constant";

    public IEnumerable<SyntaxNode> Replacements(SyntaxNode node, SemanticModel model)
    {
        if (OffByOneMutator.IsStep(node))
        {
            yield break;
        }

        if (node is LiteralExpressionSyntax literal)
        {
            string? changed = literal.Token.Value switch
            {
                int or long or uint or ulong or byte => literal.Token.Text is var text && text.All(char.IsAsciiDigit)
                    ? (decimal.Parse(text, CultureInfo.InvariantCulture) + 1).ToString(CultureInfo.InvariantCulture) : $"({literal.Token.Text} + 1)",
                double value => value == 0 ? "1.0" : $"({literal.Token.Text} * 2)",
                bool value => value ? "false" : "true",
                _ => null,
            };
            if (changed is not null)
            {
                yield return SyntaxFactory.ParseExpression(changed);
            }
        }
        else if (node is IdentifierNameSyntax or MemberAccessExpressionSyntax && model.GetSymbolInfo(node).Symbol is IFieldSymbol { HasConstantValue: true } field
            && field.ContainingType.TypeKind != TypeKind.Enum && field.Type.SpecialType is SpecialType.System_Int32 or SpecialType.System_Int64 or SpecialType.System_Double
            && field.ConstantValue is not (double.NaN or double.PositiveInfinity or double.NegativeInfinity)
            && !(node.Parent is MemberAccessExpressionSyntax access && access.Name == node))
        {
            yield return SyntaxFactory.ParseExpression($"{node} + 1");
        }
    }
}
