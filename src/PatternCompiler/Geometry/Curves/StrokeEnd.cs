namespace PatternCompiler.Geometry.Curves;

/// <summary>How the outline of a polyline with width ends.</summary>
internal enum StrokeEnd
{
    /// <summary>Cut square at the end point.</summary>
    Flat,

    /// <summary>Extended by half the width.</summary>
    Square,

    /// <summary>A half circle about the end point.</summary>
    Round,
}
