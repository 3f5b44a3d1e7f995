namespace PatternCompiler.Passes.Relief;

/// <summary>What the numbers of a layer's shapes are, where they are no dose factors.</summary>
/// <param name="Values">What they are.</param>
/// <param name="Height">One height for the whole layer, whose shapes have no numbers of their own; null to take theirs.</param>
public sealed record LayerRelief(ReliefValues Values, double? Height = null);
