namespace PatternCompiler.Mutants.Running;

/// <summary>A test class, what it reaches and how long it takes without a fault.</summary>
internal sealed record TestClass(string Assembly, string Name, long Milliseconds, IReadOnlySet<int> Reached);
