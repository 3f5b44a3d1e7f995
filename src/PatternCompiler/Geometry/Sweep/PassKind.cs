namespace PatternCompiler.Geometry.Sweep;

/// <summary>How an edge meets the unit square about a grid point.</summary>
internal enum PassKind
{
    /// <summary>Not at all.</summary>
    None,

    /// <summary>Exactly through the grid point.</summary>
    ThroughCentre,

    /// <summary>Through the square, beside the grid point.</summary>
    BesideCentre,
}
