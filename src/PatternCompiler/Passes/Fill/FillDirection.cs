namespace PatternCompiler.Passes.Fill;

/// <summary>Which way lines run.</summary>
public enum FillDirection
{
    /// <summary>Along the sample's x axis.</summary>
    X,

    /// <summary>Along the sample's y axis.</summary>
    Y,

    /// <summary>Along the longer side of each figure; x in a raster.</summary>
    LongSide,
}
