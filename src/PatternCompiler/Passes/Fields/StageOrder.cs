namespace PatternCompiler.Passes.Fields;

/// <summary>The order in which the stage visits write fields.</summary>
public enum StageOrder
{
    /// <summary>Row by row from below, every other row backwards.</summary>
    Serpentine,

    /// <summary>Row by row from below, each from the left: every row is entered from the same side, against backlash.</summary>
    Rows,

    /// <summary>The shortest way that a search finds, starting at the lower left.</summary>
    Shortest,
}
