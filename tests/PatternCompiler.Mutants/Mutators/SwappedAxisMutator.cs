using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PatternCompiler.Mutants.Mutators;

/// <summary>A name of one axis is taken for the name of the other, where both exist: <c>box.MinX</c> becomes <c>box.MinY</c>.</summary>
internal sealed class SwappedAxisMutator : IMutator
{
    private static readonly (string One, string Other)[] Pairs =
        [("Width", "Height"), ("width", "height"), ("Horizontal", "Vertical"), ("horizontal", "vertical"), ("Column", "Row"), ("column", "row"), ("Left", "Bottom"), ("Right", "Top")];

    public string Kind => "swapped axis";

    public IEnumerable<SyntaxNode> Replacements(SyntaxNode node, SemanticModel model)
    {
        SimpleNameSyntax? name = node switch
        {
            MemberAccessExpressionSyntax access => access.Name,
            IdentifierNameSyntax identifier when !(identifier.Parent is MemberAccessExpressionSyntax access && access.Name == identifier) => identifier,
            _ => null,
        };
        if (name is not IdentifierNameSyntax || Other(name.Identifier.ValueText) is not { } other)
        {
            yield break;
        }

        INamespaceOrTypeSymbol? container = node is MemberAccessExpressionSyntax member
            ? model.GetTypeInfo(member.Expression).Type ?? model.GetSymbolInfo(member.Expression).Symbol as INamespaceOrTypeSymbol
            : null;
        bool exists = node is MemberAccessExpressionSyntax
            ? container is not null && model.LookupSymbols(node.SpanStart, container, other).Length > 0
            : model.LookupSymbols(node.SpanStart, name: other).Length > 0;
        if (exists)
        {
            IdentifierNameSyntax changed = SyntaxFactory.IdentifierName(other);
            yield return node is MemberAccessExpressionSyntax whole ? whole.WithName(changed) : changed;
        }
    }

    /// <summary>The name for the other axis, or null where a name has no axis.</summary>
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

        for (int i = 0; i < name.Length; i++)
        {
            bool begins = i == 0 || char.IsUpper(name[i]) || name[i - 1] == '_';
            bool ends = i + 1 == name.Length || !char.IsLower(name[i + 1]);
            if (begins && ends && name[i] is 'x' or 'y' or 'X' or 'Y')
            {
                char axis = name[i] switch { 'x' => 'y', 'y' => 'x', 'X' => 'Y', _ => 'X' };
                return $"{name[..i]}{axis}{name[(i + 1)..]}";
            }
        }

        return null;
    }
}
