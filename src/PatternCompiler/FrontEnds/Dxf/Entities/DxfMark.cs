namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>
/// What this program attaches to entities that it writes, as extended data of its own: what a drawing cannot say otherwise.
/// </summary>
internal static class DxfMark
{
    /// <summary>Name of the application that the data belongs to.</summary>
    public static ReadOnlySpan<byte> Application => "PATTERNC"u8;

    /// <summary>A line without width that is no side of an area, even if it ends where it or another one begins.</summary>
    public static ReadOnlySpan<byte> Line => "line"u8;
}
