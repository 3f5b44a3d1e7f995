namespace PatternCompiler.BackEnds.Picture.Plots;

/// <summary>How a series is drawn.</summary>
internal enum PlotMark
{
    /// <summary>A line through the points.</summary>
    Line,

    /// <summary>A dashed line through the points.</summary>
    DashedLine,

    /// <summary>A dot at every point.</summary>
    Dots,
}
