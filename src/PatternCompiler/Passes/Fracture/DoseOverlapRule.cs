namespace PatternCompiler.Passes.Fracture;

/// <summary>Which dose a place receives that areas of different dose factors cover on one layer.</summary>
public enum DoseOverlapRule
{
    /// <summary>The highest of them.</summary>
    Highest,

    /// <summary>The lowest of them.</summary>
    Lowest,

    /// <summary>The one that the drawing uses first on the layer.</summary>
    First,

    /// <summary>Their sum: every area is written in full.</summary>
    Sum,
}
