namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>What becomes of lines and arcs that do not close to an outline.</summary>
public enum OpenOutlines
{
    /// <summary>Written as single lines without width.</summary>
    AsLines,

    /// <summary>An error that lists where they end.</summary>
    AsError,
}
