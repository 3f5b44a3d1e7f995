namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Where the layers of an SVG drawing come from; SVG itself has none.</summary>
public enum SvgLayerNaming
{
    /// <summary>The outermost group with a name: its <c>label</c> attribute of any namespace, else its <c>id</c>.</summary>
    ByGroup,

    /// <summary>The colour of the fill or of the stroke, as <c>#rrggbb</c>.</summary>
    ByColour,
}
