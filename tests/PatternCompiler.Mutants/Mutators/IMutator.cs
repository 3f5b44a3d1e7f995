using Microsoft.CodeAnalysis;

namespace PatternCompiler.Mutants.Mutators;

/// <summary>Makes faults of one kind.</summary>
internal interface IMutator
{
    string Kind { get; }

    /// <summary>What could stand in the place of <paramref name="node"/>, an expression or a statement; need not compile.</summary>
    IEnumerable<SyntaxNode> Replacements(SyntaxNode node, SemanticModel model);
}
