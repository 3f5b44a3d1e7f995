namespace PatternCompiler.FrontEnds;

/// <summary>What the first bytes of a file say that it is.</summary>
internal enum DrawingKind
{
    /// <summary>Our own text layout.</summary>
    TextLayout,

    /// <summary>DXF, as text or binary.</summary>
    Dxf,

    /// <summary>A GDSII stream.</summary>
    Gdsii,

    /// <summary>An OASIS file.</summary>
    Oasis,

    /// <summary>SVG.</summary>
    Svg,

    /// <summary>A PNG picture.</summary>
    Png,

    /// <summary>Something that is not accepted as a drawing.</summary>
    Other,
}
