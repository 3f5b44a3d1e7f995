namespace PatternCompiler.Passes.Fracture;

/// <summary>What the fracture pass reads.</summary>
public sealed record FractureOptions
{
    /// <summary>How overlaps of different dose factors within a layer are resolved.</summary>
    public DoseOverlapRule DoseOverlap { get; init; } = DoseOverlapRule.Highest;
}
