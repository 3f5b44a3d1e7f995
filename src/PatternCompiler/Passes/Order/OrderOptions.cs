namespace PatternCompiler.Passes.Order;

/// <summary>The order of writing within a layer; layers themselves follow each other as the job says.</summary>
/// <param name="Order">What decides.</param>
/// <param name="Dose">Whether dose factors are kept apart; they come before everything else.</param>
/// <param name="MostTrials">Limit of work for short travel.</param>
public sealed record OrderOptions(WritingOrder Order, DoseOrder Dose = DoseOrder.Mixed, int MostTrials = TravelOptions.DefaultTrials)
{
    /// <summary>As the document lists them.</summary>
    public static OrderOptions AsGiven { get; } = new(WritingOrder.AsGiven);

    /// <summary>
    /// Sub-fields of composite converters, or null: unless figures are written as given, those of one sub-field follow each
    /// other, and the order holds within it.
    /// </summary>
    public SubfieldGrid? Subfields { get; init; }

    /// <summary>
    /// Number of the connected area that each figure of the document belongs to, or null: with short travel, figures of
    /// one number follow each other.
    /// </summary>
    public IReadOnlyList<int>? Islands { get; init; }
}

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

/// <summary>In which order the figures of a layer are written.</summary>
public enum WritingOrder
{
    /// <summary>As the document lists them.</summary>
    AsGiven,

    /// <summary>With short blanked travel.</summary>
    ShortTravel,

    /// <summary>From left to right by where writing starts: the deflection is always approached from the same side.</summary>
    AlongX,

    /// <summary>From bottom to top by where writing starts.</summary>
    AlongY,

    /// <summary>What follows in time lies far apart, so that the charge of what was just written moves the beam least.</summary>
    Spread,
}
