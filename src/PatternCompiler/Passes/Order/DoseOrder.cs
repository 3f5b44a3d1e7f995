namespace PatternCompiler.Passes.Order;

/// <summary>Whether figures of different dose factors are kept apart.</summary>
public enum DoseOrder
{
    /// <summary>They mix.</summary>
    Mixed,

    /// <summary>Lower factors are written first.</summary>
    LowestFirst,

    /// <summary>Higher factors are written first.</summary>
    HighestFirst,
}
