namespace PatternCompiler.Geometry.Offset;

/// <summary>Shape of the outline about the end of an open path.</summary>
internal enum PathCap
{
    /// <summary>Cut square at the end point.</summary>
    Flat,

    /// <summary>Extended by the distance.</summary>
    Square,

    /// <summary>A half circle about the end point.</summary>
    Round,
}
