namespace PatternCompiler.Geometry.Curves;

/// <summary>How the outline of a polyline with width turns a corner on its outer side.</summary>
internal enum StrokeJoin
{
    /// <summary>The sides are extended until they meet, up to the mitre limit; cut straight beyond.</summary>
    Mitre,

    /// <summary>Cut straight.</summary>
    Cut,

    /// <summary>An arc about the corner.</summary>
    Round,
}
