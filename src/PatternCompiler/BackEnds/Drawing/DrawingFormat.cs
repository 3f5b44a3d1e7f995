namespace PatternCompiler.BackEnds.Drawing;

/// <summary>Formats that a layout can be written in, for other drawing programs.</summary>
internal enum DrawingFormat
{
    /// <summary>DXF, as text.</summary>
    Dxf,

    /// <summary>GDSII stream.</summary>
    Gdsii,

    /// <summary>SVG, one path a layer.</summary>
    Svg,
}
