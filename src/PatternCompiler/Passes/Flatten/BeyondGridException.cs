namespace PatternCompiler.Passes.Flatten;

/// <summary>A point of a placed shape lies beyond the grid; the caller, who knows the placement, says which.</summary>
internal sealed class BeyondGridException : Exception;
