namespace PatternCompiler.Passes.Order;

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
}
