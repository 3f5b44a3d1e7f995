namespace PatternCompiler.EndToEnd;

/// <summary>The way in which it differs from the page.</summary>
public enum ReceiverHabit
{
    /// <summary>In none.</summary>
    Honest,

    /// <summary>Says that it is done after three blocks.</summary>
    DoneEarly,

    /// <summary>Says after three blocks that it has written 900.</summary>
    ClaimsMore,

    /// <summary>Writes blocks that it does not tell of, then starts anew as after a dip of its supply.</summary>
    Resets,

    /// <summary>Cuts a record short when it is stopped.</summary>
    CutsOnStop,

    /// <summary>Its interlock opens within a record.</summary>
    CutsOnInterlock,

    /// <summary>Takes back a block that it said was written.</summary>
    TakesBack,

    /// <summary>No edge comes to its trigger input within the third block.</summary>
    NoEdge,
}
