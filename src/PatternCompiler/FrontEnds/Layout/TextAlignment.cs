namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Which part of a line of lettering stands at the given point.</summary>
internal enum TextAlignment
{
    /// <summary>Its left end.</summary>
    Left,

    /// <summary>Its middle.</summary>
    Centre,

    /// <summary>Its right end.</summary>
    Right,
}
