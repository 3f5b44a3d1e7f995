namespace PatternCompiler.Mutants.Running;

/// <summary>A test class, what it reaches and how long it takes without a fault.</summary>
/// <param name="Line">Assembly, tabulator and full name.</param>
internal sealed record TestClass(string Line, long Milliseconds, IReadOnlySet<int> Reached)
{
    public string Name => Line[(Line.IndexOf('\t', StringComparison.Ordinal) + 1)..];
}
