namespace PatternCompiler.Jobs.Operations;

/// <summary>One operation of a job: a layer made from others.</summary>
/// <param name="Layer">The layer that receives the area; it may be new, or replace one.</param>
/// <param name="Area">What it receives.</param>
public sealed record AreaOperation(string Layer, LayerExpression Area);
