using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PatternCompiler.Mutants.Mutators;

/// <summary>A value is rounded the other way; the smaller of two is taken for the larger.</summary>
internal sealed class RoundingMutator : IMutator
{
    private static readonly (string One, string Other)[] Pairs =
        [("Floor", "Ceiling"), ("Min", "Max"), ("ToEven", "AwayFromZero"), ("ToZero", "AwayFromZero"), ("ToNegativeInfinity", "ToPositiveInfinity"), ("RoundDown", "RoundUp")];

    public string Kind => "rounding";

    public IEnumerable<SyntaxNode> Replacements(SyntaxNode node, SemanticModel model)
    {
        if (node is InvocationExpressionSyntax { Expression: MemberAccessExpressionSyntax method } call)
        {
            if (Other(method.Name.Identifier.ValueText) is { } other)
            {
                yield return call.WithExpression(method.WithName(SyntaxFactory.IdentifierName(other)));
            }

            if (method.Name.Identifier.ValueText == "Round" && call.ArgumentList.Arguments is [var value, ..])
            {
                yield return SyntaxFactory.ParseExpression($"{method.Expression}.Floor({value})");
            }
        }
        else if (node is InvocationExpressionSyntax { Expression: IdentifierNameSyntax name } local && Other(name.Identifier.ValueText) is { } counterpart)
        {
            yield return local.WithExpression(SyntaxFactory.IdentifierName(counterpart));
        }
        else if (node is MemberAccessExpressionSyntax member && member.Expression.ToString() == "MidpointRounding" && Other(member.Name.Identifier.ValueText) is { } way)
        {
            yield return member.WithName(SyntaxFactory.IdentifierName(way));
        }
    }

    private static string? Other(string name)
    {
        foreach ((string one, string other) in Pairs)
        {
            if (name.Contains(one, StringComparison.Ordinal))
            {
                return name.Replace(one, other, StringComparison.Ordinal);
            }

            if (name.Contains(other, StringComparison.Ordinal))
            {
                return name.Replace(other, one, StringComparison.Ordinal);
            }
        }

        return null;
    }
}
