namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>What keeps a line pitch or point step from being finer or coarser.</summary>
public enum SpacingRule
{
    /// <summary>Nothing: it was given, or the layer has no use for it.</summary>
    None,

    /// <summary>A code is the smallest step there is.</summary>
    OneCode,

    /// <summary>Finer than a quarter of the spot brings nothing but more points.</summary>
    Spot,

    /// <summary>The controller's shortest dwell, with a reserve for the lighter points of weighted edges.</summary>
    ShortestDwell,

    /// <summary>The clock: a point of few ticks gets its dose only coarsely.</summary>
    ClockTick,

    /// <summary>The fastest move of the deflection.</summary>
    DeflectionSpeed,

    /// <summary>The deflection's time constant: the beam may lag behind by half a spot.</summary>
    DeflectionLag,

    /// <summary>The link, of which four fifths may be used.</summary>
    Link,

    /// <summary>The controller's longest dwell.</summary>
    LongestDwell,

    /// <summary>The dose must not ripple by more than 2%.</summary>
    Evenness,
}
