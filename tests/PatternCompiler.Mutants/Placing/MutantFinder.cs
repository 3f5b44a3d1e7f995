using System.Security.Cryptography;
using System.Text;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using PatternCompiler.Mutants.Mutators;

namespace PatternCompiler.Mutants.Placing;

/// <summary>Finds every place for a fault in the rooms' sources.</summary>
internal sealed class MutantFinder(string sourceFolder)
{
    private static readonly IMutator[] Mutators =
    [
        new BoundaryMutator(), new SignMutator(), new OffByOneMutator(), new FactorMutator(), new ConstantMutator(), new ConditionMutator(),
        new RoundingMutator(), new SwappedAxisMutator(), new DroppedStatementMutator(), new DroppedCallMutator(),
    ];

    /// <summary>How many kinds of faults there are.</summary>
    public static int Kinds => Mutators.Length;

    private readonly Dictionary<string, int> _ordinals = new(StringComparer.Ordinal);
    private int _number;

    public IEnumerable<PlacedMutant> Find(SyntaxTree tree, SemanticModel model)
    {
        string file = Path.GetRelativePath(sourceFolder, tree.FilePath).Replace('\\', '/');
        foreach (SyntaxNode node in tree.GetRoot().DescendantNodes(descend => !IsConstant(descend) && !IsNeverReached(descend, model)))
        {
            if (!CanBeSwitched(node))
            {
                continue;
            }

            foreach (IMutator mutator in Mutators)
            {
                foreach (SyntaxNode replacement in mutator.Replacements(node, model))
                {
                    string original = OneLine(node);
                    string change = $"{original} → {(replacement is EmptyStatementSyntax ? "(nothing)" : OneLine(replacement))}";
                    string stem = $"{Path.ChangeExtension(file, null)}.{Member(node)}|{mutator.Kind}|{Hash(change)}";
                    int ordinal = _ordinals.TryGetValue(stem, out int used) ? used + 1 : 1;
                    _ordinals[stem] = ordinal;
                    int line = tree.GetLineSpan(node.Span).StartLinePosition.Line + 1;
                    var mutant = new Mutant(++_number, $"{stem}|{ordinal}", file, line, mutator.Kind, change, RunsOnce(node));
                    yield return new PlacedMutant(mutant, node, replacement);
                }
            }
        }
    }

    /// <summary>Code whose value the compiler must know, or that is never compiled to code.</summary>
    private static bool IsConstant(SyntaxNode node) => node switch
    {
        AttributeListSyntax or EnumMemberDeclarationSyntax or ParameterSyntax or SwitchLabelSyntax or PatternSyntax or UsingDirectiveSyntax => true,
        FieldDeclarationSyntax field => field.Modifiers.Any(SyntaxKind.ConstKeyword),
        LocalDeclarationStatementSyntax local => local.IsConst,
        InvocationExpressionSyntax call => call.Expression.ToString() is "nameof" or "Debug.Assert",
        NameColonSyntax or NameEqualsSyntax or TypeArgumentListSyntax => true,
        _ => false,
    };

    /// <summary>A <c>return</c> that the compiler asks for behind a call that never returns.</summary>
    private static bool IsNeverReached(SyntaxNode node, SemanticModel model) =>
        node is ReturnStatementSyntax { Parent: BlockSyntax block } last && block.Statements.IndexOf(last) is var at and > 0
        && block.Statements[at - 1] is ExpressionStatementSyntax { Expression: InvocationExpressionSyntax call }
        && model.GetSymbolInfo(call).Symbol is { } called && called.GetAttributes().Any(a => a.AttributeClass?.Name == "DoesNotReturnAttribute");

    /// <summary>Whether a node is a value that may come from either side of a choice, or a statement that may be left out.</summary>
    private static bool CanBeSwitched(SyntaxNode node)
    {
        if (node is StatementSyntax)
        {
            return node.Parent is BlockSyntax or IfStatementSyntax or ElseClauseSyntax or ForStatementSyntax or WhileStatementSyntax or ForEachStatementSyntax;
        }

        if (node is not ExpressionSyntax || node is TypeSyntax and not IdentifierNameSyntax)
        {
            return false;
        }

        return node.Parent switch
        {
            // A receiver must stay the variable it is: a choice would hand over a copy of a structure.
            MemberAccessExpressionSyntax or ConditionalAccessExpressionSyntax or ElementAccessExpressionSyntax => false,
            InvocationExpressionSyntax call => call.Expression != node,
            ArgumentSyntax argument => argument.RefKindKeyword.IsKind(SyntaxKind.None),
            AssignmentExpressionSyntax assignment => assignment.Left != node,
            RefExpressionSyntax or ExpressionStatementSyntax => false,
            PostfixUnaryExpressionSyntax step => step.IsKind(SyntaxKind.SuppressNullableWarningExpression),
            PrefixUnaryExpressionSyntax step => !step.IsKind(SyntaxKind.PreIncrementExpression) && !step.IsKind(SyntaxKind.PreDecrementExpression) && !step.IsKind(SyntaxKind.AddressOfExpression),
            _ => true,
        };
    }

    private static bool RunsOnce(SyntaxNode node) => node.Ancestors().Any(a => a switch
    {
        FieldDeclarationSyntax field => field.Modifiers.Any(SyntaxKind.StaticKeyword),
        PropertyDeclarationSyntax { Initializer: { } initializer } property => property.Modifiers.Any(SyntaxKind.StaticKeyword) && initializer.Span.Contains(node.Span),
        ConstructorDeclarationSyntax constructor => constructor.Modifiers.Any(SyntaxKind.StaticKeyword),
        _ => false,
    });

    private static string Member(SyntaxNode node)
    {
        MemberDeclarationSyntax? member = node.AncestorsAndSelf().OfType<MemberDeclarationSyntax>().FirstOrDefault();
        string name = member switch
        {
            MethodDeclarationSyntax method => method.Identifier.ValueText,
            PropertyDeclarationSyntax property => property.Identifier.ValueText,
            ConstructorDeclarationSyntax => "new",
            FieldDeclarationSyntax field => field.Declaration.Variables[0].Identifier.ValueText,
            OperatorDeclarationSyntax operation => $"operator {operation.OperatorToken.ValueText}",
            IndexerDeclarationSyntax => "this[]",
            BaseTypeDeclarationSyntax => "base",
            _ => member?.Kind().ToString() ?? "",
        };
        string? nested = node.Ancestors().OfType<TypeDeclarationSyntax>().FirstOrDefault() is { Parent: TypeDeclarationSyntax } inner ? $"{inner.Identifier.ValueText}." : null;
        return nested + name;
    }

    private static string OneLine(SyntaxNode node) => string.Join(' ', node.ToString().Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));

    private static string Hash(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text)))[..8];
}
