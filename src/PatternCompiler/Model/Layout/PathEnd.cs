namespace PatternCompiler.Model.Layout;

/// <summary>How a path with width ends.</summary>
internal enum PathEnd
{
    /// <summary>Cut square at the end point.</summary>
    Flat,

    /// <summary>Extended by half the width.</summary>
    Square,

    /// <summary>A half circle about the end point.</summary>
    Round,
}
